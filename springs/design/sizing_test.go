package design

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs/valid"
)

// Every sizing is the inverse of a rate or a stress.
func TestSizingRoundTrips(t *testing.T) {
	w := Wire{Diameter: 0.71e-3, MeanDiameter: 5.93e-3, ActiveCoils: 9.3, ShearModulus: 81.7e9}
	k, err := w.Rate()
	if err != nil {
		t.Fatal(err)
	}
	coils, err := w.CoilsFor(k)
	if err != nil {
		t.Fatal(err)
	}
	mean, err := w.MeanDiameterFor(k)
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinRel(coils, w.ActiveCoils, 1e-14) || !scalar.EqualWithinRel(mean, w.MeanDiameter, 1e-14) {
		t.Errorf("rate %v N/m gives back %v coils and %v m", k, coils, mean)
	}
	for c := Bergstrasser; c <= Uncorrected; c++ {
		for _, index := range []float64{2, 3.1, 8.35, 40} {
			coil := Wire{Diameter: 0.71e-3, MeanDiameter: index * 0.71e-3}
			stress, err := coil.Torsion(5.7, c)
			if err != nil {
				t.Fatal(err)
			}
			d, err := WireFor(5.7, stress, index, c)
			if err != nil {
				t.Fatal(err)
			}
			// A last bit less stress must not fall off the end at an index of 2.
			got, err := IndexFor(0.71e-3, 5.7, stress*(1+1e-12), c)
			if err != nil {
				t.Fatal(err)
			}
			if !scalar.EqualWithinRel(d, 0.71e-3, 1e-13) || !scalar.EqualWithinRel(got, index, 1e-10) {
				t.Errorf("%v at C = %v: wire %v m, index %v", c, index, d, got)
			}
		}
	}
}

// Budynas and Nisbett, Shigley's Mechanical Engineering Design, Example 10-3,
// pp. 552-553 (read in a transcription): plain ends, 10 active coils of 0.1055 in
// wire at an index of 12, N_t = 11 by plain ends of 11 turns: solid 1.266 in.
func TestCompressionPublished(t *testing.T) {
	c := Compression{
		Wire: Wire{Diameter: 0.1055 * inch, MeanDiameter: 12 * 0.1055 * inch, ActiveCoils: 11, ShearModulus: 79.3e9},
		Ends: Plain,
	}
	solid, err := c.Solid()
	if err != nil || !scalar.EqualWithinAbs(solid/inch, 1.266, 0.0005) {
		t.Errorf("solid length %v m (%v), published 1.266 in", solid, err)
	}
	free, err := c.Free(3 * inch)
	if err != nil || !scalar.EqualWithinAbs(free/inch, 4.266, 0.0005) {
		t.Errorf("free length %v m (%v), published 4.266 in", free, err)
	}
	// alpha below 0.780 is stable at 4.266 in.
	limit, err := c.Stable(0.780)
	if err != nil || !scalar.EqualWithinAbs(limit/inch, 4.266, 0.003) {
		t.Errorf("stable below %v m (%v), published 4.266 in at 0.780", limit, err)
	}
	for ends, want := range map[Ends]float64{PlainGround: 12, Squared: 14, SquaredGround: 13} {
		c.Ends = ends
		if solid, err := c.Solid(); err != nil || !scalar.EqualWithinRel(solid, want*c.Wire.Diameter, 1e-14) {
			t.Errorf("ends %d: solid %v m (%v), want %v wires", ends, solid, err, want)
		}
	}
}

func TestRefusedSizes(t *testing.T) {
	nan := math.NaN()
	w := Wire{Diameter: 1e-3, MeanDiameter: 8e-3, ActiveCoils: 9, ShearModulus: 80e9}
	for name, f := range map[string]func() error{
		"coils of no wire":         func() error { _, err := Wire{}.CoilsFor(1e3); return err },
		"coils for no rate":        func() error { _, err := w.CoilsFor(0); return err },
		"mean of no wire":          func() error { _, err := Wire{}.MeanDiameterFor(1e3); return err },
		"mean for nan":             func() error { _, err := w.MeanDiameterFor(nan); return err },
		"mean inside the wire":     func() error { _, err := w.MeanDiameterFor(1e9); return err },
		"wire for no force":        func() error { _, err := WireFor(0, 1e8, 8, Wahl); return err },
		"wire, index 1":            func() error { _, err := WireFor(1, 1e8, 1, Wahl); return err },
		"index for nan":            func() error { _, err := IndexFor(1e-3, nan, 1e8, Wahl); return err },
		"index, wire too thin":     func() error { _, err := IndexFor(1e-5, 10, 1e8, Wahl); return err },
		"index, wire too thick":    func() error { _, err := IndexFor(0.1, 10, 1e8, Wahl); return err },
		"index, no correction":     func() error { _, err := IndexFor(1e-3, 10, 1e9, Correction(8)); return err },
		"unknown ends":             func() error { _, err := Compression{Wire: w, Ends: 9}.Solid(); return err },
		"solid of no wire":         func() error { _, err := Compression{}.Solid(); return err },
		"negative travel":          func() error { _, err := Compression{Wire: w}.Free(-1); return err },
		"free length of no wire":   func() error { _, err := Compression{}.Free(1); return err },
		"buckling of no wire":      func() error { _, err := Compression{}.Stable(1); return err },
		"buckling, unknown ending": func() error { _, err := Compression{Wire: w}.Stable(nan); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
