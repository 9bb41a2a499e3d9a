package main

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/flyweights"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	s, err := work()
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := figures(s)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// The hole at the tip does what was asked: an eighth of the moment, and so the
// start by the square root of 8/7; the one at the root about a third of that.
func TestWhatTheStudySays(t *testing.T) {
	s, err := work()
	if err != nil {
		t.Fatal(err)
	}
	made, tip, root := s.variants[0], s.variants[1], s.variants[2]
	if got := tip.moment / made.moment; !scalar.EqualWithinRel(got, 7.0/8, 1e-12) {
		t.Errorf("the tip's hole leaves %v of the moment, want 7/8", got)
	}
	start := func(v variant) float64 { return v.curve.Start(flyweights.Rising) }
	if got := start(tip) / start(made); !scalar.EqualWithinRel(got, math.Sqrt(8.0/7), 1e-9) {
		t.Errorf("the start moves by %v, want the root of 8/7", got)
	}
	if share := (start(root) - start(made)) / (start(tip) - start(made)); !scalar.EqualWithinAbs(share, 1.0/3, 0.05) {
		t.Errorf("the root's hole moves the start by %v of the tip's, said is a third", share)
	}
	if !scalar.EqualWithinRel(tip.body.Mass, root.body.Mass, 1e-12) {
		t.Errorf("the holes take unlike masses: %v and %v kg left", tip.body.Mass, root.body.Mass)
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"hole of 5.58 mm", "weight.svg", "weight-advance.png"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
