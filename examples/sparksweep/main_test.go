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

// The last degrees before best torque are worth little, and the caution must stand
// beside the numbers.
func TestRun(t *testing.T) {
	s, err := study()
	if err != nil {
		t.Fatal(err)
	}
	late, best := s.cycles[20], s.want
	if loss := 1 - late.Torque/best.Torque; !(loss > 0.005 && loss < 0.05) {
		t.Errorf("20 degrees give up %g of the torque at %g", loss, best.MBT)
	}
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, want := range []string{"90 % band", "spark-torque.svg", "spark-onset.png", "damage under way", "local law"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
