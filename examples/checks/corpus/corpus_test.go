package corpus

import (
	"flag"
	"testing"

	"example.org/bobweight/testdata"
)

var exact = flag.Bool("exact", false, "set all tolerances of the corpus to zero, to see residuals")

// TestCorpus runs every worked example of testdata/corpus.
func TestCorpus(t *testing.T) {
	files, err := Load(testdata.Corpus, "corpus")
	if err != nil {
		t.Fatal(err)
	}
	report := Run(files, Settings{Exact: *exact})
	for _, line := range report.Bad() {
		t.Error(line)
	}
	for _, n := range report.Counts() {
		t.Logf("%s, %s: %d cases, %d values, %d errata", n.Kind, n.Provenance, n.Cases, n.Values, n.Errata)
	}
}
