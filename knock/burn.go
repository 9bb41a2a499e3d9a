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

// LaminarSpeed returns the laminar burning speed of gasoline vapour in air, m/s:
//
//	S = (0.305 - 0.549 (phi - 1.21)^2) (T/298 K)^alpha (p/1 atm)^beta (1 - 2.06 x^0.77)
//	alpha = 2.4 - 0.271 phi^3.51, beta = -0.357 + 0.14 phi^2.77
//
// phi is the equivalence ratio, fitted over 0.8 to 1.5, T the unburned temperature
// in K, 298 to 700, p the pressure in Pa, 0.4 to 50 atm, x the mole fraction of
// burned gas, to 0.2; fit +-10 %. Another published fit lies 1.2 to 1.8 times
// higher: only ratios of this number are used. Below a tenth of the undiluted speed
// the dilution factor is held, where an engine would misfire. Sources: M. Metghalchi, J. C. Keck, Combust.
// Flame 48 (1982) 191; D. B. Rhodes, J. C. Keck, SAE 850047 (1985); constants as in
// Heywood (1988), table 9.3 (from memory).
func LaminarSpeed(phi, kelvin, pascal, x float64) (float64, error) {
	err := check(
		bound{field: "equivalence ratio", value: phi, lo: 0.6, hi: 1.7},
		bound{field: "unburned temperature", value: kelvin, lo: 200, hi: 1500, unit: "K"},
		bound{field: "pressure", value: pascal, lo: 1e3, hi: 3e7, unit: "Pa"},
		bound{field: "burned gas", value: x, lo: 0, hi: 1, unit: "mole fraction"})
	if err != nil {
		return 0, err
	}
	return laminarSpeed(phi, kelvin, pascal, x), nil
}

func laminarSpeed(phi, t, p, x float64) float64 {
	alpha := 2.4 - 0.271*math.Pow(phi, 3.51)
	beta := -0.357 + 0.14*math.Pow(phi, 2.77)
	base := 0.305 - 0.549*(phi-1.21)*(phi-1.21)
	dilution := math.Max(1-2.06*math.Pow(x, 0.77), 0.1)
	return base * math.Pow(t/298, alpha) * math.Pow(p/atmosphere, beta) * dilution
}

const atmosphere = 101325.0 // Pa

// burnScale is the quantity with which burn angles grow:
// (Sp nu)^(1/3) (h/S_L)^(2/3), here per unit of stroke and chamber height, with the
// viscosity nu proportional to T^1.7/p. S. D. Hires, R. J. Tabaczynski, J. M. Novak,
// SAE 780232 (1978) (from memory). Doubling the speed gives 2^(1/3) = 1.26.
func burnScale(rpm, phi, t, p, x float64, speed, flame float64) float64 {
	viscosity := math.Pow(t/700, 1.7) / (p / 1.5e6)
	return math.Pow(rpm/referenceRPM, speed) * math.Cbrt(viscosity) /
		math.Pow(laminarSpeed(phi, t, p, x), flame)
}

// referenceRPM is the speed at which burn angles are given and around which the
// speed exponents turn.
const referenceRPM = 2000.0
