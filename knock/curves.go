package knock

import (
	"context"
	"math"

	"example.org/bobweight/knock/internal/unchecked"
	"example.org/bobweight/springs/valid"
)

// Banded is a point of a curve with its 90 % band, crank degrees before top centre.
type Banded struct {
	RPM                float64
	Degrees, Low, High float64
}

// Curves are what a choice of parts is made against.
type Curves struct {
	// KLSA is the knock limit less the margin, with its band less the margin; where
	// no knock was found below the highest spark searched it is that spark.
	KLSA []Banded
	// Allowed is the most spark that even an engine at the low edge of the band
	// carries with the margin, and never more than MBT: the curve to set first.
	Allowed []Point
	// Target is MBT or the limit less the margin, whichever is less, with the band of
	// the one that rules.
	Target       []Banded
	Requirements []SparkRequirement // the answers behind them
}

// Curves returns the full-load curves at the speeds of rpm with a margin in crank
// degrees, 0 to 20, kept from the knock limit.
func (m *Model) Curves(ctx context.Context, rpm []float64, margin float64, progress func(done, total int)) (*Curves, error) {
	if err := valid.Check(errRange, valid.In("margin", margin, "deg crank", 0, 20)); err != nil {
		return nil, err
	}
	wants, err := m.FullLoad(ctx, rpm, progress)
	if err != nil {
		return nil, err
	}
	c := &Curves{Requirements: wants}
	for _, w := range wants {
		limit := Banded{w.RPM, w.KLSA - margin, w.KLSALow - margin, w.KLSAHigh - margin}
		target := limit
		if w.MBT < limit.Degrees {
			target = Banded{w.RPM, w.MBT, w.MBTLow, w.MBTHigh}
		}
		c.KLSA = append(c.KLSA, limit)
		c.Target = append(c.Target, target)
		c.Allowed = append(c.Allowed, Point{w.RPM, math.Min(w.MBT, limit.Low)})
	}
	return c, nil
}

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
