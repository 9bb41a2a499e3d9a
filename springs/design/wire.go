package design

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Wire is the coiled body of a spring: round wire wound with a constant mean
// diameter. The zero value is refused by [Wire.check].
type Wire struct {
	Diameter     float64 // m, of the wire, 1e-9 to 1
	MeanDiameter float64 // m, of the coil at the centre of the wire
	ActiveCoils  float64 // coils that twist, more than 0; hooks count as in [Hook]
	ShearModulus float64 // Pa, of the wire
}

// Spring index limits. Handbooks advise 4 to 12 (R. G. Budynas and J. K.
// Nisbett, Shigley's Mechanical Engineering Design, ch. 10); the formulas of
// this package are refused where they are meaningless, not where a spring is
// merely hard to make.
const (
	minIndex  = 2
	maxIndex  = 100
	leastWire = 1e-9 // m, thinner than any wire: a cube of it is far from running under
)

// index returns the spring index C = mean diameter / wire diameter.
func (w Wire) index() float64 { return w.MeanDiameter / w.Diameter }

func (w Wire) checkSize() error {
	return valid.Check(valid.ErrRange,
		valid.In("wire diameter", w.Diameter, "m", leastWire, 1),
		valid.In("mean coil diameter", w.MeanDiameter, "m", minIndex*w.Diameter, maxIndex*w.Diameter),
	)
}

// check returns an error that wraps [valid.ErrRange] if the wire diameter, the index
// (2 to 100), the number of active coils (up to 10,000) or the shear modulus
// (1 to 300 GPa) is out of range.
func (w Wire) check() error {
	if err := w.checkSize(); err != nil {
		return err
	}
	return valid.Check(valid.ErrRange,
		valid.Above("active coils", w.ActiveCoils, "coils", 0, 1e4),
		valid.In("shear modulus", w.ShearModulus, "Pa", 1e9, 3e11),
	)
}

// Rate returns the spring rate in N/m,
//
//	k = G d^4 / (8 D^3 N)
//
// the torsion of a wire of length pi D N under the moment F D/2 (Budynas and
// Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-9). Castigliano's
// theorem with the direct shear added divides by 1 + 1/(2 C^2) (their Eq.
// 10-8), less than 1 % for an index above 7, and is left out here as in
// EN 13906 and every handbook table.
func (w Wire) Rate() (float64, error) {
	if err := w.check(); err != nil {
		return 0, err
	}
	rate := w.rate()
	return rate, valid.Check(valid.ErrRange, valid.In("spring rate", rate, "N/m", 0, math.MaxFloat64))
}

func (w Wire) rate() float64 {
	c := w.index()
	return w.ShearModulus * w.Diameter / (8 * c * c * c * w.ActiveCoils)
}
