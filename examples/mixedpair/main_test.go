package main

import (
	"math"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/figure/golden"
)

// The plot as it was looked at; -regen makes it anew.
func TestFigure(t *testing.T) {
	s, err := newStudy()
	if err != nil {
		t.Fatal(err)
	}
	f, err := s.draw()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, []figure.Figure{f})
	for _, rpm := range speeds {
		e, err := s.mixed.Advance(rpm)
		truth := s.truth.Advance(mixed, rpm)
		if err != nil || !(math.Abs(e.Value-truth) < 1.5) {
			t.Errorf("at %g rpm %v, truth %.1f (%v)", rpm, e, truth, err)
		}
	}
	if off := math.Abs(s.naive(1500) - s.truth.Advance(mixed, 1500)); !(off > 3) {
		t.Errorf("the mean at equal speed is off by %.1f deg at 1500 rpm, want a trap", off)
	}
}

func TestRunTells(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"mean of advance", "taken to be alike", "mixed-pair.svg"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
