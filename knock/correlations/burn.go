package correlations

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// tenth is ln(1/0.9): x = 1 - exp(-tenth) is 10 % burned.
var tenth = math.Log(1 / 0.9)

// Wiebe is the share burned over crank angle from spark, given by its 0-10 % and
// 10-90 % angles in crank degrees, both > 0:
//
//	x = 1 - exp(-ln(1/0.9) (y/d)^k), k = ln(ln 10/ln(1/0.9)) / ln((d+D)/d)
//
// so that x is 0.1 at d and 0.9 at d+D. Source: J. B. Heywood (1988), ch. 9, the
// form 1 - exp(-a y^(m+1)) with m+1 = k.
type Wiebe struct{ Develop, Rapid float64 }

// Check refuses angles that are not finite and positive.
func (w Wiebe) Check() error {
	return valid.Check(errRange,
		valid.In("0-10 % burn angle", w.Develop, "deg crank", 0.1, 400),
		valid.In("10-90 % burn angle", w.Rapid, "deg crank", 0.1, 400))
}

// Exponent returns k = m+1 of angles that pass [Wiebe.Check].
func (w Wiebe) Exponent() float64 {
	return math.Log(math.Ln10/tenth) / math.Log((w.Develop+w.Rapid)/w.Develop)
}

// Angle returns the crank degrees from spark to a share burned, 0 to below 1. It
// refuses what [Wiebe.Check] refuses.
func (w Wiebe) Angle(x float64) (float64, error) {
	if err := w.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("share burned", x, "", 0, 1-1e-12)); err != nil {
		return 0, err
	}
	return w.angle(x), nil
}

func (w Wiebe) angle(x float64) float64 {
	return w.Develop * math.Pow(-math.Log1p(-x)/tenth, 1/w.Exponent())
}

// BurnScale is the quantity with which burn angles grow:
// (Sp nu)^(1/3) (h/S_L)^(2/3), here per unit of stroke and chamber height, with the
// viscosity nu proportional to T^1.7/p; a fit that is none gives 0. S. D. Hires, R. J. Tabaczynski, J. M. Novak,
// SAE 780232 (1978) (from memory). Doubling the speed gives 2^(1/3) = 1.26.
func (l LaminarFlame) BurnScale(s FlameState, speed, flame float64) float64 {
	if l < 0 || l > GulderFlame {
		return 0
	}
	viscosity := math.Pow(s.Kelvin/700, 1.7) / (s.Pascal / 1.5e6)
	return math.Pow(s.RPM/unchecked.ReferenceRPM, speed) * math.Cbrt(viscosity) /
		math.Pow(l.speed(s.Mixture, s.Kelvin, s.Pascal, s.Burned), flame)
}

// FlameState is what a burn angle depends on.
type FlameState struct {
	RPM     float64 // crank rpm
	Mixture float64 // equivalence ratio
	Kelvin  float64 // K, unburned
	Pascal  float64 // Pa
	Burned  float64 // mole fraction of burned gas in the charge
}

// BurnAngleRatio returns how much longer, in crank degrees, an engine burns at one
// state than at another: the ratio of (Sp nu)^(1/3) (h/S_L)^(2/3). Source: Hires,
// Tabaczynski and Novak, SAE 780232 (1978) (from memory). Ranges as
// [LaminarFlame.Speed], 100 to 20000 rpm.
func (l LaminarFlame) BurnAngleRatio(at, reference FlameState) (float64, error) {
	for _, s := range [...]FlameState{at, reference} {
		if err := valid.Check(errRange, valid.In("engine speed", s.RPM, "rpm crank", 100, 20000)); err != nil {
			return 0, err
		}
		if _, err := l.Speed(s.Mixture, s.Kelvin, s.Pascal, s.Burned); err != nil {
			return 0, err
		}
	}
	return l.BurnScale(at, unchecked.SpeedExponent, unchecked.FlameExponent) / l.BurnScale(reference, unchecked.SpeedExponent, unchecked.FlameExponent), nil
}
