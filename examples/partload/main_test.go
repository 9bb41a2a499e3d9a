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

// Lighter load must want more spark all the way, and the caution must stand beside the
// numbers.
func TestRun(t *testing.T) {
	s, err := study()
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < len(s.rows); i++ {
		if a, b := s.rows[i-1].want, s.rows[i].want; !(b.MBT > a.MBT) {
			t.Errorf("%g inHg wants %g, %g inHg wants %g", s.rows[i-1].vacuum, a.MBT, s.rows[i].vacuum, b.MBT)
		}
	}
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, want := range []string{"inHg: best", "part-load-spark.svg", "part-load-burn.png", "damage under way", "local law"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
