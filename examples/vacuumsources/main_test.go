package main

import (
	"bytes"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	drawn, err := figures()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// A long cam brings the idle within reach of the unit's ramp, thin air with it onto the
// ramp; thin air alone does not.
func TestRunPrintsWhatIsAdvised(t *testing.T) {
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for want, n := range map[string]int{
		"manifold source: idle at": 4, "ported source: idle at": 4, "steady: true": 6, "steady: false": 2,
		"hose on the manifold source": 2, "hose on the ported source": 2, "sources.svg": 1, "tipin.png": 1,
	} {
		if got := strings.Count(out.String(), want); got != n {
			t.Errorf("%q stands %d times, want %d, in\n%s", want, got, n, out.String())
		}
	}
}
