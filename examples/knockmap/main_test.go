package main

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/knock"
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

// Listening must narrow the band by three tenths at every speed of an engine whose filling is
// told. Where it is not, what was heard up to 3200 rpm says nothing of the filling of a fast engine,
// and above 4000 rpm the band only has to narrow. The caution must stand beside the numbers.
func TestRun(t *testing.T) {
	for name, filling := range map[string][]knock.Filling{
		"told":     {{RPM: 800, Efficiency: 0.74}, {RPM: 2800, Efficiency: 0.83}, {RPM: 5500, Efficiency: 0.68}},
		"not told": nil,
	} {
		e := engine()
		e.Filling = filling
		s, err := bands(context.Background(), e)
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range s.before {
			most := 0.7
			if filling == nil && b.RPM > 4000 {
				most = 1
			}
			if a := s.after[i]; !(a.KLSAHigh-a.KLSALow < most*(b.KLSAHigh-b.KLSALow)) {
				t.Errorf("filling %s, %g rpm: %g to %g after listening, %g to %g before", name, b.RPM, a.KLSALow, a.KLSAHigh, b.KLSALow, b.KLSAHigh)
			}
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
