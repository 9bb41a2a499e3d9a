package main

import (
	"bytes"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
)

// The plots as they were looked at; -regen makes them anew.
func TestFigures(t *testing.T) {
	s, err := study()
	if err != nil {
		t.Fatal(err)
	}
	drawn, err := s.figures()
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// The latest spark must be safe, the earliest must knock, and the caution must stand
// beside the numbers.
func TestRun(t *testing.T) {
	s, err := study()
	if err != nil {
		t.Fatal(err)
	}
	if s.cycles[0].Knocks || !s.cycles[1].Knocks || !s.cycles[2].Knocks {
		t.Errorf("knocks: %v %v %v", s.cycles[0].Knocks, s.cycles[1].Knocks, s.cycles[2].Knocks)
	}
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, want := range []string{"90 % band", "damage under way", "local law", "knock-pressure.svg", "knock-end-gas.png"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
