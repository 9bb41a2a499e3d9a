package main

import (
	"math"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/flyweights"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	cs, err := closings()
	if err != nil {
		t.Fatal(err)
	}
	p, err := draw(cs)
	if err != nil {
		t.Fatal(err)
	}
	drawn := []figure.Figure{{Name: "slot-closing", Plot: p}}
	golden.Check(t, drawn)
}

// What the study says in words: the travel asked for is what the closed slot
// gives, and less travel is all in earlier.
func TestWhatTheStudySays(t *testing.T) {
	cs, err := closings()
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range cs {
		if got := drive.CrankDegrees(c.curve.Travel()); !(math.Abs(got-c.travel) <= 1e-9) {
			t.Errorf("travel %g, want %g", got, c.travel)
		}
		if i > 0 && !(c.curve.AllIn(flyweights.Rising) < cs[i-1].curve.AllIn(flyweights.Rising)) {
			t.Errorf("travel %g is all in no earlier than %g", c.travel, cs[i-1].travel)
		}
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"slot-closing.png", "close 1.43 mm"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
