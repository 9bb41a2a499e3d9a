package knock

import "math"

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
	return check(
		bound{field: "0-10 % burn angle", value: w.Develop, lo: 0.1, hi: 400, unit: "deg crank"},
		bound{field: "10-90 % burn angle", value: w.Rapid, lo: 0.1, hi: 400, unit: "deg crank"})
}

// Exponent returns k = m+1.
func (w Wiebe) Exponent() float64 {
	return math.Log(math.Ln10/tenth) / math.Log((w.Develop+w.Rapid)/w.Develop)
}

// Burned returns the share burned y crank degrees after spark, 0 before it.
func (w Wiebe) Burned(y float64) float64 {
	if !(y > 0) {
		return 0
	}
	return -math.Expm1(-tenth * math.Pow(y/w.Develop, w.Exponent()))
}

// Angle returns the crank degrees from spark to a share burned, 0 to below 1.
func (w Wiebe) Angle(x float64) (float64, error) {
	if err := check(bound{field: "share burned", value: x, lo: 0, hi: 1 - 1e-12}); err != nil {
		return 0, err
	}
	return w.angle(x), nil
}

func (w Wiebe) angle(x float64) float64 {
	return w.Develop * math.Pow(-math.Log1p(-x)/tenth, 1/w.Exponent())
}

// burnScale is the quantity with which burn angles grow:
// (Sp nu)^(1/3) (h/S_L)^(2/3), here per unit of stroke and chamber height, with the
// viscosity nu proportional to T^1.7/p. S. D. Hires, R. J. Tabaczynski, J. M. Novak,
// SAE 780232 (1978) (from memory). Doubling the speed gives 2^(1/3) = 1.26.
func (l LaminarFlame) burnScale(s FlameState, speed, flame float64) float64 {
	viscosity := math.Pow(s.Kelvin/700, 1.7) / (s.Pascal / 1.5e6)
	return math.Pow(s.RPM/referenceRPM, speed) * math.Cbrt(viscosity) /
		math.Pow(l.speed(s.Mixture, s.Kelvin, s.Pascal, s.Burned), flame)
}

// The published exponents of that scaling: of speed, and of laminar flame speed.
const speedExponent, flameExponent = 1.0 / 3, 2.0 / 3

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
		if err := check(bound{field: "engine speed", value: s.RPM, lo: 100, hi: 20000, unit: "rpm crank"}); err != nil {
			return 0, err
		}
		if _, err := l.Speed(s.Mixture, s.Kelvin, s.Pascal, s.Burned); err != nil {
			return 0, err
		}
	}
	return l.burnScale(at, speedExponent, flameExponent) / l.burnScale(reference, speedExponent, flameExponent), nil
}

// referenceRPM is the speed at which burn angles are given and around which the
// speed exponents turn.
const referenceRPM = 2000.0
