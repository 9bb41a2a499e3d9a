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

// Listening must narrow the band everywhere, by three tenths up to 4000 rpm (faster, the
// filling says less), and the caution must stand beside the numbers.
func TestRun(t *testing.T) {
	s, err := study()
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range s.before {
		most := 0.7
		if b.RPM > 4000 {
			most = 0.85
		}
		if a := s.after[i]; !(a.KLSAHigh-a.KLSALow < most*(b.KLSAHigh-b.KLSALow)) {
			t.Errorf("%g rpm: %g to %g after listening, %g to %g before", b.RPM, a.KLSALow, a.KLSAHigh, b.KLSALow, b.KLSAHigh)
		}
	}
	var out, problems bytes.Buffer
	if code := run([]string{"-out", t.TempDir()}, &out, &problems); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for _, want := range []string{"90 % band", "knock-limit-band.svg", "knock-limit-map.png", "damage under way", "local law"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is missing in\n%s", want, out.String())
		}
	}
}
