package main

import (
	"strings"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/figure/golden"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	all, err := cars()
	if err != nil {
		t.Fatal(err)
	}
	var drawn []figure.Figure
	for _, c := range all {
		f, err := c.draw()
		if err != nil {
			t.Fatal(err)
		}
		drawn = append(drawn, f)
	}
	golden.Check(t, drawn)
}

// What the study says in words.
func TestRunTellsAndDraws(t *testing.T) {
	all, err := cars()
	if err != nil {
		t.Fatal(err)
	}
	seen, begun := all[0].result, all[1].result
	if seen.Static.Bound != readings.Interval || len(seen.Outliers) != 1 || seen.Outliers[0] != 8 {
		t.Errorf("first car: static %v, outliers %v", seen.Static, seen.Outliers)
	}
	if begun.Static.Bound != readings.AtMost || begun.Total.Bound != readings.Interval {
		t.Errorf("second car: static %v, total %v", begun.Static, begun.Total)
	}
	var out, problems strings.Builder
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, words := range []string{
		"No reading shows the static timing", "The total is", "mm of slot to close", "Take again: reading 9",
		"A reading at", "begun-at-idle.svg", "start-seen.png",
	} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is missing from\n%s", words, out.String())
		}
	}
}
