package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// prepareDelay prepares the rate of the autoignition integral.
func (c *charge) prepareDelay(e *Engine, cond Condition, w *parameters) {
	c.octane = effectiveOctane(e.Fuel.Index(e.K)+w[octane], c.residual, cond)
	scale := delayPrior * math.Exp(w[delay]) * math.Pow(c.rpm/unchecked.ReferenceRPM, w[delaySpeed]) *
		math.Pow(c.octane/pivotOctane, w[octanePow])
	c.rate = unchecked.Delay(scale, unchecked.PressureExponent+w[pressure], unchecked.Activation+w[arrhenius], c.octane)
	c.rate.Constant += discrepancy(e, c.rpm, c.octane, w) - math.Log(c.second)
}

// delayPrior multiplies the published delay before any calibration. It is set in the
// rating engine, the one whose knock is published with all of its conditions:
// iso-octane at 7.55 to 1 and 600 rpm, where the knock meter falls to nothing at a
// spark of 8 degrees (P. Pal et al., SAE 2018-01-0187, fig. 1; see rating_test.go). What
// carburetted engines of 6 to 11 to 1 ask for at full throttle was not used and agrees.
const delayPrior = 0.95

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

// pivotOctane is the octane number about which the delay's exponent against octane turns.
const pivotOctane = 91.0
