package correlations

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// LaminarFlame is a published fit of the laminar burning speed. Only ratios of it
// enter the model: one state's against the reference's.
type LaminarFlame int

// The fits. The first three are of M. Metghalchi, J. C. Keck, Combust. Flame 48 (1982)
// 191, +-10 %, over mixtures of 0.8 to 1.5, 298 to 700 K, 0.4 to 50 atm (constants as in J. B.
// Heywood (1988), table 9.3, read in public copies); the last of O. L. Gulder, SAE 841000
// (1984), whose speeds lie 1.2 to 1.8 times higher.
const (
	GasolineFlame LaminarFlame = iota
	IsoOctaneFlame
	IndoleneFlame // the reference gasoline of the tests
	GulderFlame   // iso-octane
)

// metghalchiKeck is S0 = peak + curve (phi - rich)^2, m/s.
type metghalchiKeck struct{ peak, curve, rich float64 }

var fits = [...]metghalchiKeck{
	GasolineFlame:  {0.305, -0.549, 1.21},
	IsoOctaneFlame: {0.263, -0.847, 1.13},
	IndoleneFlame:  {0.2758, -0.7834, 1.13},
}

// Speed returns the laminar burning speed in m/s for an equivalence ratio (0.6 to
// 1.7), an unburned temperature in K (200 to 1500), a pressure in Pa (1e3 to 3e7) and a mole
// fraction of burned gas x (0 to 1):
//
//	S = S0(phi) (T/298 K)^alpha (p/1 atm)^beta (1 - 2.06 x^0.77)
//	alpha = 2.18 - 0.8 (phi-1), beta = -0.16 + 0.22 (phi-1)
//	gasoline: alpha = 2.4 - 0.271 phi^3.51, beta = -0.357 + 0.14 phi^2.77
//
// and after Gulder 0.4658 phi^-0.326 exp(-4.48 (phi-1.075)^2) (T/300 K)^1.56
// (p/1 bar)^-0.22 (1 - 2.3 x). Dilution: D. B. Rhodes, J. C. Keck, SAE 850047 (1985)
// (read in public copies), to x = 0.2; its factor is held at 0.1, where an engine would misfire.
func (l LaminarFlame) Speed(phi, kelvin, pascal, x float64) (float64, error) {
	err := valid.Check(errRange,
		valid.In("laminar flame fit", float64(l), "", 0, float64(GulderFlame)),
		valid.In("equivalence ratio", phi, "", 0.6, 1.7),
		valid.In("unburned temperature", kelvin, "K", 200, 1500),
		valid.In("pressure", pascal, "Pa", 1e3, 3e7),
		valid.In("burned gas", x, "mole fraction", 0, 1))
	if err != nil {
		return 0, err
	}
	return l.speed(phi, kelvin, pascal, x), nil
}

func (l LaminarFlame) speed(phi, t, p, x float64) float64 {
	const misfire = 0.1
	if l == GulderFlame {
		return 0.4658 * math.Pow(phi, -0.326) * math.Exp(-4.48*(phi-1.075)*(phi-1.075)) *
			math.Pow(t/300, 1.56) * math.Pow(p/1e5, -0.22) * math.Max(1-2.3*x, misfire)
	}
	f := fits[l]
	alpha, beta := 2.18-0.8*(phi-1), -0.16+0.22*(phi-1)
	if l == GasolineFlame {
		alpha, beta = 2.4-0.271*math.Pow(phi, 3.51), -0.357+0.14*math.Pow(phi, 2.77)
	}
	base := f.peak + f.curve*(phi-f.rich)*(phi-f.rich)
	return base * math.Pow(t/298, alpha) * math.Pow(p/atmosphere, beta) *
		math.Max(1-2.06*math.Pow(x, 0.77), misfire)
}
