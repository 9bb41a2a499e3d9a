package design

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs/valid"
)

// Budynas and Nisbett, Shigley's Mechanical Engineering Design, Example 10-3,
// pp. 552-553 (read in a public copy): plain ends, 10 active coils of 0.1055 in
// wire at an index of 12, N_t = 11 by plain ends of 11 turns: solid 1.266 in.
func TestCompressionPublished(t *testing.T) {
	c := Compression{
		Wire: Wire{Diameter: 0.1055 * inch, MeanDiameter: 12 * 0.1055 * inch, ActiveCoils: 11, ShearModulus: 79.3e9},
	}
	solid, err := c.Solid()
	if err != nil || !scalar.EqualWithinAbs(solid/inch, 1.266, 0.0005) {
		t.Errorf("solid length %v m (%v), published 1.266 in", solid, err)
	}
	// alpha below 0.780 is stable at 4.266 in.
	limit, err := c.Stable(0.780)
	if err != nil || !scalar.EqualWithinAbs(limit/inch, 4.266, 0.003) {
		t.Errorf("stable below %v m (%v), published 4.266 in at 0.780", limit, err)
	}
	for ends, want := range map[[2]bool]float64{{false, true}: 12, {true, false}: 14, {true, true}: 13} {
		c.Squared, c.Ground = ends[0], ends[1]
		if solid, err := c.Solid(); err != nil || !scalar.EqualWithinRel(solid, want*c.Wire.Diameter, 1e-14) {
			t.Errorf("squared and ground %v: solid %v m (%v), want %v wires", ends, solid, err, want)
		}
	}
}

func TestRefusedSizes(t *testing.T) {
	nan := math.NaN()
	w := Wire{Diameter: 1e-3, MeanDiameter: 8e-3, ActiveCoils: 9, ShearModulus: 80e9}
	for name, f := range map[string]func() error{
		"solid of no wire":         func() error { _, err := Compression{}.Solid(); return err },
		"buckling of no wire":      func() error { _, err := Compression{}.Stable(1); return err },
		"buckling, unknown ending": func() error { _, err := Compression{Wire: w}.Stable(nan); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
