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
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	p, err := draw(cs)
	if err != nil {
		t.Fatal(err)
	}
	drawn := []figure.Figure{{Name: "weight-choice", Plot: p}}
	golden.Check(t, drawn)
}

// What the study says in words: mass scales every speed by one over its root, an
// unequal pair is the mean, and grinding the end costs more than its mass alone.
func TestWhatTheStudySays(t *testing.T) {
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	for _, read := range []func(*flyweights.Curve, flyweights.Direction) float64{(*flyweights.Curve).Start, (*flyweights.Curve).AllIn} {
		as := read(cs[0].curve, flyweights.Rising)
		for i, want := range map[int]float64{1: math.Sqrt(30. / 36), 2: math.Sqrt(30. / 24), 4: 1} {
			if got := read(cs[i].curve, flyweights.Rising) / as; !(math.Abs(got-want) <= 1e-9) {
				t.Errorf("%s: speeds times %g, want %g", cs[i].name, got, want)
			}
		}
		if got := read(cs[3].curve, flyweights.Rising) / as; !(got > math.Sqrt(30./28)) {
			t.Errorf("%s: speeds times %g, want more than by the mass alone", cs[3].name, got)
		}
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"weight-choice.svg", "one of 36 g"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
