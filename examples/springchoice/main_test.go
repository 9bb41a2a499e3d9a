package main

import (
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/flyweights"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := figures(cs)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// What the study says in words: tension at rest moves the start, the rate moves
// the end, and play moves the start forward and holds the curve on its way.
func TestWhatTheStudySays(t *testing.T) {
	cs, err := choices()
	if err != nil {
		t.Fatal(err)
	}
	start := func(i int) float64 { return cs[i].curve.Start(flyweights.Rising) }
	allIn := func(i int) float64 { return cs[i].curve.AllIn(flyweights.Rising) }
	const light, wound, stiff, play = 0, 1, 2, 3
	if !(start(wound) > start(light) && allIn(wound)-start(wound) < allIn(light)-start(light)) {
		t.Errorf("more tension: %v to %v, before %v to %v rad/s", start(wound), allIn(wound), start(light), allIn(light))
	}
	if d := start(stiff) - start(light); !(d < 1e-6*start(light) && -d < 1e-6*start(light) && allIn(stiff) > allIn(light)) {
		t.Errorf("stiffer: %v to %v, before %v to %v rad/s", start(stiff), allIn(stiff), start(light), allIn(light))
	}
	if !(start(play) < start(light) && allIn(play) > allIn(stiff)) {
		t.Errorf("with play: %v to %v rad/s", start(play), allIn(play))
	}
	held := false
	for _, e := range cs[play].curve.Events(flyweights.Rising) {
		held = held || e.Kind == flyweights.Hold
	}
	if !held {
		t.Error("the curve does not hold where the play is taken up")
	}
	for _, c := range cs {
		for i, p := range c.parts {
			if !(p.Safety > 1) {
				t.Errorf("%s, spring %d: factor of safety %v", c.name, i+1, p.Safety)
			}
		}
	}
}

func TestRunTellsAndDraws(t *testing.T) {
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{"spring 2 is taken up", "spring-tension.svg", "spring-advance.png"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
