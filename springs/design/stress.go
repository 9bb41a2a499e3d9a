package design

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/valid"
)

// Correction is how the curvature of the coil and the direct shear raise the
// torsional stress 8 F D/(pi d^3) at the inside of the coil.
type Correction string

const (
	// Bergstrasser is (4C+2)/(4C-3) (Budynas and Nisbett, Shigley's Mechanical
	// Engineering Design, Eq. 10-5), the same as (w+0.5)/(w-0.75) of EN 13906.
	Bergstrasser Correction = "Bergstrasser"
	// Wahl is (4C-1)/(4C-4) + 0.615/C (the same, Eq. 10-4), 0.7 to 1.4 % above
	// Bergstrasser for an index of 12 to 4.
	Wahl Correction = "Wahl"
	// DirectShear is 1 + 0.5/C (the same, Eq. 10-3): direct shear only, for
	// static loads after set has been taken out, and in older books.
	DirectShear Correction = "direct shear"
	// Uncorrected is 1, the stress in which initial tension is quoted.
	Uncorrected Correction = "uncorrected"
)

// factor returns the correction for a spring index.
func (k Correction) factor(c float64) (float64, error) {
	switch k {
	case Bergstrasser:
		return bergstrasser(c), nil
	case Wahl:
		return (4*c-1)/(4*c-4) + 0.615/c, nil
	case DirectShear:
		return 1 + 0.5/c, nil
	case Uncorrected:
		return 1, nil
	}
	return 0, fmt.Errorf("%w: stress correction is %q, valid is one of the package's constants", valid.ErrRange, k)
}

func bergstrasser(c float64) float64 { return (4*c + 2) / (4*c - 3) }

// Torsion returns the largest torsional stress in Pa of the coil under a force
// in N, K 8 F D/(pi d^3) (Budynas and Nisbett, Shigley's Mechanical Engineering
// Design, Eq. 10-7). The force is 0 to 1e9 N, the index 2 to 100.
func (w Wire) Torsion(force float64, k Correction) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("force", force, "N", 0, maxForce)); err != nil {
		return 0, err
	}
	if err := w.checkSize(); err != nil {
		return 0, err
	}
	factor, err := k.factor(w.index())
	return factor * torsion(force, w.MeanDiameter, w.Diameter), err
}

// torsion is the stress of a round bar of diameter d twisted by force times half
// the mean diameter: 16 (F D/2)/(pi d^3).
func torsion(force, mean, d float64) float64 {
	return 8 * force * mean / (math.Pi * d * d * d)
}

// Surge returns the lowest natural frequency in Hz of the coils along their axis
// with both ends held, sqrt(k/m)/2 with the mass m of the active coils (Budynas
// and Nisbett, Shigley's Mechanical Engineering Design, Eqs. 10-25, 10-27). The
// density is in kg/m^3, more than 0 and at most 30,000. With one end free the
// frequency is half of it.
func (w Wire) Surge(density float64) (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	if err := valid.Check(valid.ErrRange, valid.Above("density", density, "kg/m^3", 0, 3e4)); err != nil {
		return 0, err
	}
	return math.Sqrt(w.rate()/w.mass(density)) / 2, nil
}

// mass of the active coils: length pi D N times area pi d^2/4 times density.
func (w Wire) mass(density float64) float64 {
	return math.Pi * w.MeanDiameter * w.ActiveCoils * math.Pi * w.Diameter * w.Diameter / 4 * density
}
