package knock

import "math"

// ignition prepares the rate of the autoignition integral.
func (c *charge) ignition(e *Engine, cond Condition, w *tweak) {
	c.octane = effectiveOctane(e.Fuel.Index(e.K)+w[octane], c.residual, cond)
	d := Delay{
		Scale: delayPrior * math.Exp(w[delay]) * math.Pow(c.rpm/referenceRPM, w[delaySpeed]) *
			math.Pow(c.octane/pivotOctane, w[octanePow]),
		Pressure:   pressureExponent + w[pressure],
		Activation: activation + w[arrhenius],
	}
	c.rate = d.rate(c.octane)
	c.rate.constant -= math.Log(c.second)
}

// delayPrior multiplies the published delay before any calibration. The rating
// engine in which the correlation was fitted saw its own end-gas temperature; with
// the state computed here a factor of 0.4 to 0.8 puts trace knock of 91 octane at
// 8.5 to 1 and full load at 15 to 25 degrees, where engines of that ratio run
// (common practice: 8 to 1 asks for about 92, 9 to 1 for about 96 octane).
const delayPrior = 0.6

// typicalResidual is the burned gas that the delay's own fit already contains.
const typicalResidual = 0.06

// effectiveOctane adds to the octane index what slows ignition beyond temperature
// and pressure: burned gas, 3 % of octane per 10 % (B. Hoepke et al., SAE
// 2012-01-0707); mixture, least resistance 5 % rich and 2 octane per unit of
// air-fuel ratio away from it (S. Russ, SAE 960497), of which burn, pressure and
// temperature of the cycle already give about half; water, 0.3 octane per g/kg
// (common practice).
func effectiveOctane(index, residual float64, cond Condition) float64 {
	const stoichiometric, knee = 14.5, 0.3 // air-fuel ratios
	away := stoichiometric/cond.Mixture - stoichiometric/1.05
	mixture := 1.2 * (math.Sqrt(away*away+knee*knee) - knee)
	water := 300 * (cond.Humidity - 0.007)
	return (index + mixture + water) * (1 + 0.3*(residual-typicalResidual))
}
