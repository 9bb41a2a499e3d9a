package search

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
)

func TestWords(t *testing.T) {
	got := Words("SpeedSquared of a 2.5 N/mm spring's KLSA")
	for _, want := range []string{"speedsquared", "speed", "squared", "2", "5", "mm", "spring", "klsa"} {
		if !slices.Contains(got, want) {
			t.Errorf("%q is missing in %q", want, got)
		}
	}
}

// Each word leads to the sections that hold it, those with it in their heading marked;
// what is no text for a reader is left out.
func TestIndex(t *testing.T) {
	script, err := Index([]Page{
		{"a.html", "Springs", "Tension at a length.", `<p>Rate &amp; preload.</p><h2 id="slack">Slack <a href="#slack">#</a></h2><p>Long loops have slack.<script>var hiddenword</script></p>`},
		{"b.html", "Weights", "", `<p>No slack here.</p>`},
	})
	if err != nil {
		t.Fatal(err)
	}
	text := strings.TrimSuffix(strings.TrimPrefix(string(script), "self.bwIndex = "), ";\n")
	var index struct {
		Pages    [][2]string
		Sections [][4]any
		Words    map[string]string
	}
	if err := json.Unmarshal([]byte(text), &index); err != nil {
		t.Fatal(err)
	}
	for word, want := range map[string]string{"springs": "0!", "preload": "0", "slack": "1! 1", "loops": "1", "hiddenword": "", "weights": "2!"} {
		if got := index.Words[word]; got != want {
			t.Errorf("%s stands at %q, want %q", word, got, want)
		}
	}
	if len(index.Pages) != 2 || len(index.Sections) != 3 || index.Sections[1][1] != "slack" || index.Sections[1][3] != "Long loops have slack." {
		t.Errorf("pages %v, sections %v", index.Pages, index.Sections)
	}
}
