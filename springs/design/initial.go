package design

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// InitialStress returns the range of initial tension that close winding gives
// and holds well, as the uncorrected torsional stress 8 Ti D/(pi d^3) in Pa, for
// a spring index of 4 to 16:
//
//	33500/exp(0.105 C) +- 1000 (4 - (C - 3)/6.5) psi
//
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-41.) The
// cubic fits of R. L. Norton, Machine Design, Eqs. 14.21, agree within 3 % at
// the low edge and 5 % at the high one.
func InitialStress(index float64) (low, mid, high float64, err error) {
	if err := valid.Check(valid.ErrRange, valid.In("spring index", index, "", 4, 16)); err != nil {
		return 0, 0, 0, err
	}
	const psi = kpsi / 1000
	mid = 33500 / math.Exp(0.105*index) * psi
	half := 1000 * (4 - (index-3)/6.5) * psi
	return mid - half, mid, mid + half, nil
}

// initialTension returns [InitialStress] as a force in N for this coil.
func (w Wire) initialTension() (low, mid, high float64, err error) {
	if err := w.checkSize(); err != nil {
		return 0, 0, 0, err
	}
	low, mid, high, err = InitialStress(w.index())
	perForce := torsion(1, w.MeanDiameter, w.Diameter)
	return low / perForce, mid / perForce, high / perForce, err
}
