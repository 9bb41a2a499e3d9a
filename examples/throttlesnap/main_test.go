package main

import (
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	cs, err := courses()
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := figures(cs)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// What the study says in words: the advance is late both ways, and more so with
// dry pivots.
func TestWhatTheStudySays(t *testing.T) {
	cs, err := courses()
	if err != nil {
		t.Fatal(err)
	}
	clean, dry := cs[0], cs[1]
	if !(clean.lag(0, shut) > 0 && dry.lag(0, shut) > clean.lag(0, shut)) {
		t.Errorf("opening: clean %g, dry %g deg crank", clean.lag(0, shut), dry.lag(0, shut))
	}
	if !(clean.lag(shut, length) < 0 && dry.lag(shut, length) < clean.lag(shut, length)) {
		t.Errorf("closing: clean %g, dry %g deg crank", clean.lag(shut, length), dry.lag(shut, length))
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"snap-loop.png", "dry pivots"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
