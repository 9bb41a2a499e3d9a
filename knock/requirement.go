package knock

import "math"

// SparkRequirement is what an engine wants and tolerates at one running point. Angles are crank
// degrees before top centre; bands hold 90 %.
type SparkRequirement struct {
	RPM float64

	MBT                      float64 // spark of best torque
	MBTEarly, MBTLate        float64 // more and less spark that still give 99.5 % of that torque
	MBTLow, MBTHigh          float64 // band of MBT, within the sparks searched: -12 to 75
	Torque                   float64 // N m at the crankshaft, all cylinders, at MBT
	HalfBurned, PeakPressure float64 // crank degrees after top centre at MBT: half burned, highest pressure

	// MBTKnown is false where the band of MBT is wider than 40 degrees: light load or a
	// long cam at idle, where nobody should set a spark by it.
	MBTKnown bool

	// Extrapolated reports a fuel below 90 research octane or a compression ratio below 7, for which
	// the delay was not fitted: the rating engine knocks 15 degrees later on 80 octane than
	// the model has it. The band of the limit carries more doubt for it.
	Extrapolated bool

	// KnockLimited reports that trace knock is met below the highest spark searched, 15
	// degrees beyond MBT. Limit is the first crossing coming from retard. When
	// KnockLimited is false Limit and LimitHigh are the highest spark searched and
	// LimitLow is where an engine at the edge of the band would knock, or that same
	// spark if even it would not. A limit of -12, the latest spark searched, means that
	// it knocks whatever the spark.
	KnockLimited            bool
	KLSA, KLSALow, KLSAHigh float64
}

const beyondBest = 15.0 // crank degrees past MBT that the search for knock goes

// quantile of the normal distribution that leaves 5 % on each side.
const ninety = 1.6448536269514722

// SparkRequirement answers for one running point.
func (m *Model) SparkRequirement(cond Condition) (SparkRequirement, error) {
	p, err := m.at(cond)
	if err != nil {
		return SparkRequirement{}, err
	}
	return p.requirement()
}

func (p *point) requirement() (SparkRequirement, error) {
	var c charge
	e := &p.engine
	mean := &p.model.torque.mean
	p.fill(&c, mean)
	mbt, top, bend := c.bestTorqueSpark(e)
	if !(bend < 0) {
		return SparkRequirement{}, notKnown("the torque curve has no top, the spark of best torque", p.cond)
	}
	if mbt > latestSearch-1 {
		return SparkRequirement{}, notKnown("beyond 74 deg, the spark of best torque", p.cond)
	}
	out := c.fire(mbt-c.phasing, nil)
	if !out.valid {
		return SparkRequirement{}, outOfRange("cycle at engine speed", p.cond.RPM, "rpm crank", "a running point whose gas stays between 300 and 3600 K and below 240 bar")
	}
	w := SparkRequirement{RPM: p.cond.RPM, MBT: mbt, HalfBurned: out.half, PeakPressure: out.peakAt,
		Torque: top * float64(e.Cylinders) / (4 * math.Pi)}
	w.MBTEarly, w.MBTLate = c.flatTop(e, mbt, top)
	spread := p.bestSpread(mean, mbt, bend)
	w.MBTLow = math.Max(mbt-ninety*spread, earliestSearch)
	w.MBTHigh = math.Min(mbt+ninety*spread, latestSearch)
	w.MBTKnown = spread*2*ninety <= 40
	w.Extrapolated = e.Fuel.RON < leastRated || e.CompressionRatio < leastRatio
	if p.model.silent {
		p.fill(&c, &p.model.posterior.mean)
	}
	p.knockLimits(&c, &w)
	return w, nil
}

// flatTop returns the sparks on either side of MBT that give 99.5 % of its work,
// each side a parabola through one more point. Where the engine makes no work at the crank
// the flat top is measured against the work of the gas.
func (c *charge) flatTop(e *Engine, mbt, top float64) (early, late float64) {
	const reach = 6.0
	want := 0.005 * math.Max(math.Abs(top), 0.2*c.friction/e.Friction*c.crank.swept)
	a := top - c.brakeWork(e, mbt+reach)
	b := top - c.brakeWork(e, mbt-reach)
	side := func(drop float64) float64 { return reach * math.Sqrt(want/math.Max(drop, 1e-12)) }
	return mbt + side(a), mbt - side(b)
}

// knockLimits fills in the knock limit and its band. The low edge is the spark at which the
// engine knocks with a chance of 5 %: where the level lies by so many of its own deviations,
// there, below zero. These grow towards retard, so the edge is found with the deviation at
// the limit, and again with the line through that and the one at the edge. The high edge,
// where the deviation is mostly smaller, keeps that at the limit: no harm comes of a band
// that is too wide there.
func (p *point) knockLimits(c *charge, w *SparkRequirement) {
	highest := math.Min(w.MBT+beyondBest, latestSearch)
	s := c.sweepSparks(highest)
	limit, limited := c.knockLimitedSpark(&s, threshold{})
	at := limit
	if !limited {
		at = highest
	}
	w.KnockLimited, w.KLSA, w.KLSAHigh, w.KLSALow = limited, at, highest, highest
	spread := p.levelSpread(at)
	if high, ok := c.knockLimitedSpark(&s, threshold{level: ninety * spread}); ok {
		w.KLSAHigh = high
	}
	above := threshold{level: -ninety * spread, spark: at}
	low, ok := c.knockLimitedSpark(&s, above)
	if !ok {
		return
	}
	if apart := low - at; apart < -straight {
		above.slope = -ninety * (p.levelSpread(low) - spread) / apart
		if again, ok := c.knockLimitedSpark(&s, above); ok {
			low = again
		}
	}
	w.KLSALow = math.Min(low, at)
}

// straight is the distance from the limit, crank degrees, within which its deviation hardly
// changes.
const straight = 1.0
