package springs

import "math"

// Band is a range with its middle.
type Band struct{ Low, Mid, High float64 }

// InitialStress returns the range of initial tension that close winding gives
// and holds well, as the uncorrected torsional stress 8 Ti D/(pi d^3) in Pa, for
// a spring index of 4 to 16:
//
//	33500/exp(0.105 C) +- 1000 (4 - (C - 3)/6.5) psi
//
// (Budynas and Nisbett, Shigley's Mechanical Engineering Design, Eq. 10-41.) The
// cubic fits of R. L. Norton, Machine Design, Eqs. 14.21, agree within 3 % at
// the low edge and 5 % at the high one.
func InitialStress(index float64) (Band, error) {
	if err := check(bound{"spring index", index, "", 4, 16, false}); err != nil {
		return Band{}, err
	}
	const psi = kpsi / 1000
	mid := 33500 / math.Exp(0.105*index) * psi
	half := 1000 * (4 - (index-3)/6.5) * psi
	return Band{Low: mid - half, Mid: mid, High: mid + half}, nil
}

// InitialTension returns [InitialStress] as a force in N for this coil.
func (w Wire) InitialTension() (Band, error) {
	c, err := w.Index()
	if err != nil {
		return Band{}, err
	}
	s, err := InitialStress(c)
	if err != nil {
		return Band{}, err
	}
	perForce := torsion(1, w.MeanDiameter, w.Diameter)
	return Band{Low: s.Low / perForce, Mid: s.Mid / perForce, High: s.High / perForce}, nil
}

// Coiling is the machine an extension spring is wound on; it limits the initial
// tension that can be wound in.
type Coiling int

const (
	Bench     Coiling = iota // over a mandrel on a coiling bench
	Automatic                // on an automatic coiling machine
)

// InitialCeiling returns the largest initial tension that can be wound, as the
// uncorrected torsional stress in Pa, for a spring index of 4 to 20 and a
// tensile strength in Pa:
//
//	(0.135 - 0.00625 C) Rm on a bench, (0.075 - 0.00375 C) Rm on an automatic machine
//
// from memory of EN 13906-2, medium confidence; not seen again in print. An
// index of 20 leaves nothing on an automatic machine.
func InitialCeiling(index, tensile float64, how Coiling) (float64, error) {
	if err := check(
		bound{"spring index", index, "", 4, 20, false},
		bound{"tensile strength", tensile, "Pa", 0, 1e11, true},
	); err != nil {
		return 0, err
	}
	switch how {
	case Bench:
		return (0.135 - 0.00625*index) * tensile, nil
	case Automatic:
		return (0.075 - 0.00375*index) * tensile, nil
	}
	return 0, outOfRange("coiling", float64(how), "", "Bench or Automatic")
}
