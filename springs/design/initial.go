package design

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Range is a range with its middle.
type Range struct{ Low, Mid, High float64 }

// InitialStress returns the range of initial tension that close winding gives
// and holds well, as the uncorrected torsional stress 8 Ti D/(pi d^3) in Pa, for
// a spring index of 4 to 16:
//
//	33500/exp(0.105 C) +- 1000 (4 - (C - 3)/6.5) psi
//
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-41.) The
// cubic fits of R. L. Norton, Machine Design, Eqs. 14.21, agree within 3 % at
// the low edge and 5 % at the high one.
func InitialStress(index float64) (Range, error) {
	if err := valid.Check(valid.ErrRange, valid.In("spring index", index, "", 4, 16)); err != nil {
		return Range{}, err
	}
	const psi = kpsi / 1000
	mid := 33500 / math.Exp(0.105*index) * psi
	half := 1000 * (4 - (index-3)/6.5) * psi
	return Range{Low: mid - half, Mid: mid, High: mid + half}, nil
}

// initialTension returns [InitialStress] as a force in N for this coil.
func (w Wire) initialTension() (Range, error) {
	if err := w.checkSize(); err != nil {
		return Range{}, err
	}
	s, err := InitialStress(w.index())
	if err != nil {
		return Range{}, err
	}
	perForce := torsion(1, w.MeanDiameter, w.Diameter)
	return Range{Low: s.Low / perForce, Mid: s.Mid / perForce, High: s.High / perForce}, nil
}
