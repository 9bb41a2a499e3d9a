package main

import (
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/flyweights"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	m := mechanism()
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := figures(m, c)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// What the study says in words: a jump up at one speed, down at a lower one, and
// friction parts them further.
func TestWhatTheStudySays(t *testing.T) {
	m := mechanism()
	width := func() float64 {
		c, err := m.Curve(nil)
		if err != nil {
			t.Fatal(err)
		}
		at := map[flyweights.Direction]float64{}
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			for _, e := range c.Events(dir) {
				if e.Kind == flyweights.Snap {
					at[dir] = e.Omega
				}
			}
		}
		if len(at) != 2 {
			t.Fatalf("snaps %v, want one each way", at)
		}
		return at[flyweights.Rising] - at[flyweights.Falling]
	}
	smooth := width()
	m.Friction.Proportion = 0.04
	if rough := width(); !(smooth > 0 && rough > smooth) {
		t.Errorf("hysteresis %g rad/s, with friction %g", smooth, rough)
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"snap-advance.svg", "snap   at"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
