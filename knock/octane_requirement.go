package knock

import (
	"context"
	"math"

	"example.org/bobweight/knock/internal/unchecked"
)

// OctaneRequirement is the octane index (see [Fuel.Index]) at which trace knock just begins, with
// its 90 % band.
type OctaneRequirement struct {
	RPM              float64
	Index, Low, High float64
}

// OctaneRequirement returns the octane index that a spark curve asks for at each of its
// points, at the condition given (its RPM is ignored; zero fields mean full load and
// the defaults). The delay is a power of octane, so the answer is closed:
// ON = ON0 I^(1/n), with I the autoignition integral of the fuel in the model and n the
// exponent of the delay against octane as it is held to be.
func (m *Model) OctaneRequirement(ctx context.Context, curve []Point, cond Condition) ([]OctaneRequirement, error) {
	if err := checkCurve(curve); err != nil {
		return nil, err
	}
	needs := make([]OctaneRequirement, len(curve))
	err := parallel(ctx, len(curve), nil, func(i int) error {
		at := cond
		at.RPM = curve[i].RPM
		p, err := m.at(at)
		if err != nil {
			return err
		}
		needs[i] = p.octaneRequirement(curve[i].Degrees)
		return nil
	})
	if err != nil {
		return nil, err
	}
	return needs, nil
}

func (p *point) octaneRequirement(spark float64) OctaneRequirement {
	mean := &p.model.posterior.mean
	var c charge
	p.fill(&c, mean)
	power := unchecked.OctaneExponent + mean[octanePow]
	level := c.knockLevel(spark) / power
	spread := ninety * p.levelSpread(spark) / power
	// Back from effective octane to the fuel's index.
	scale := 1 + 0.3*(c.residual-typicalResidual)
	index := p.engine.Fuel.Index(p.engine.K) + mean[octane]
	added := c.octane/scale - index
	fuel := func(level float64) float64 { return c.octane*math.Exp(level)/scale - added - mean[octane] }
	return OctaneRequirement{RPM: p.cond.RPM, Index: fuel(level), Low: fuel(level - spread), High: fuel(level + spread)}
}
