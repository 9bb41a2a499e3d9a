package main

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure"
	"gonum.org/v1/plot/cmpimg"
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
	var names []string
	for _, f := range drawn {
		names = append(names, f.Name+".png")
	}
	cmpimg.CheckPlot(func() {
		if err := figure.Write("testdata", drawn, io.Discard, "png"); err != nil {
			t.Fatal(err)
		}
	}, t, names...)
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
	for _, want := range []string{"90 % band", "spark-torque.svg", "spark-onset.png", "damage under way"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
