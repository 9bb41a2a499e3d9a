package knock

import (
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// OctaneRequirement returns the octane index (see [Fuel.Index]) at which trace knock just
// begins with a spark in crank degrees before top centre, -20 to 80, and its 90 % band.
// The delay is a power of octane, so the answer is closed:
// ON = ON0 I^(1/n), with I the autoignition integral of the fuel in the model and n the
// exponent of the delay against octane as it is held to be.
func (m *Model) OctaneRequirement(cond Condition, spark float64) (index, low, high float64, err error) {
	if err := checkSpark(spark); err != nil {
		return 0, 0, 0, err
	}
	p, err := m.at(cond)
	if err != nil {
		return 0, 0, 0, err
	}
	index, low, high = p.octaneRequirement(spark)
	return index, low, high, nil
}

func (p *point) octaneRequirement(spark float64) (index, low, high float64) {
	mean := &p.model.posterior.mean
	var c charge
	p.fill(&c, mean)
	power := unchecked.OctaneExponent + mean[octanePow]
	level := c.knockLevel(spark) / power
	spread := ninety * p.levelSpread(spark) / power
	// Back from effective octane to the fuel's index.
	scale := 1 + 0.3*(c.residual-typicalResidual)
	added := c.octane/scale - (p.engine.Fuel.Index(p.engine.K) + mean[octane])
	fuel := func(level float64) float64 { return c.octane*math.Exp(level)/scale - added - mean[octane] }
	return fuel(level), fuel(level - spread), fuel(level + spread)
}
