package design

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/valid"
)

// Correction is how the curvature of the coil and the direct shear raise the
// torsional stress 8 F D/(pi d^3) at the inside of the coil.
type Correction int

const (
	// Bergstrasser is (4C+2)/(4C-3) (Budynas and Nisbett, Shigley's Mechanical
	// Engineering Design, Eq. 10-5), the same as (w+0.5)/(w-0.75) of EN 13906.
	Bergstrasser Correction = iota
	// Wahl is (4C-1)/(4C-4) + 0.615/C (the same, Eq. 10-4), 0.7 to 1.4 % above
	// Bergstrasser for an index of 12 to 4.
	Wahl
	// DirectShear is 1 + 0.5/C (the same, Eq. 10-3): direct shear only, for
	// static loads after set has been taken out, and in older books.
	DirectShear
	// Uncorrected is 1, the stress in which initial tension is quoted.
	Uncorrected
)

var correctionNames = [...]string{"Bergstrasser", "Wahl", "direct shear", "uncorrected"}

// String returns the correction's name.
func (k Correction) String() string {
	if k < 0 || int(k) >= len(correctionNames) {
		return fmt.Sprintf("Correction(%d)", int(k))
	}
	return correctionNames[k]
}

// Factor returns the correction for a spring index of 2 to 100.
func (k Correction) Factor(index float64) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("spring index", index, "", minIndex, maxIndex)); err != nil {
		return 0, err
	}
	if k < Bergstrasser || k > Uncorrected {
		return 0, valid.Refuse(valid.ErrRange, "stress correction", float64(k), "", "one of the package's constants")
	}
	return k.factor(index), nil
}

func (k Correction) factor(c float64) float64 {
	switch k {
	case Bergstrasser:
		return (4*c + 2) / (4*c - 3)
	case Wahl:
		return (4*c-1)/(4*c-4) + 0.615/c
	case DirectShear:
		return 1 + 0.5/c
	}
	return 1
}

// Torsion returns the largest torsional stress in Pa of the coil under a force
// in N, K 8 F D/(pi d^3) (Budynas and Nisbett, Shigley's Mechanical Engineering
// Design, Eq. 10-7). The force is 0 to 1e9 N.
func (w Wire) Torsion(force float64, k Correction) (float64, error) {
	factor, err := w.correction(force, k)
	if err != nil {
		return 0, err
	}
	return factor * torsion(force, w.MeanDiameter, w.Diameter), nil
}

func (w Wire) correction(force float64, k Correction) (float64, error) {
	if err := valid.Check(valid.ErrRange, valid.In("force", force, "N", 0, maxForce)); err != nil {
		return 0, err
	}
	c, err := w.Index()
	if err != nil {
		return 0, err
	}
	return k.Factor(c)
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
