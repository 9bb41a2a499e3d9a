package knock

import "math"

// Cycle is one fired cycle, looked at closely.
type Cycle struct {
	Spark   float64  // crank degrees before top centre
	Samples []Sample // from inlet closing to exhaust opening

	Torque          float64 // N m at the crankshaft, all cylinders
	PeakPressure    float64 // Pa
	PeakAt          float64 // crank degrees after top centre
	Half            float64 // crank degrees after top centre, half burned
	Develop, Rapid  float64 // burn angles 0-10 % and 10-90 %, crank degrees
	Residual        float64 // burned gas in the charge, share by mass
	HottestEndGas   float64 // K before 95 % has burned
	Integral        float64 // autoignition integral when 95 % has burned
	Knocks          bool    // it reached 1 before that
	Onset, Unburned float64 // where, crank degrees after top centre, and what share was unburned; both 0 where it does not knock
}

// Cycle fires one cycle at a running point with a spark of -20 to 80 crank degrees
// before top centre. Whether it knocks is the plain model's answer without its
// band: see [Model.SparkRequirement] for that.
func (m *Model) Cycle(cond Condition, spark float64) (*Cycle, error) {
	if err := checkSpark(spark); err != nil {
		return nil, err
	}
	p, err := m.at(cond)
	if err != nil {
		return nil, err
	}
	var c charge
	p.fill(&c, &m.posterior.mean)
	var samples trace
	out := c.fire(spark, &samples)
	if !out.valid {
		return nil, outOfRange("cycle with spark", spark, "deg crank before top centre", "one whose gas stays between 300 and 3600 K and below 240 bar")
	}
	shifted := c.fire(spark-c.phasing, nil)
	w := c.burn(spark)
	knocks := out.integral >= 1 && !math.IsNaN(out.onset)
	if !knocks {
		out.onset, out.onsetUnburned = 0, 0
	}
	return &Cycle{Spark: spark, Samples: samples.samples,
		Torque:       c.brake(&p.engine, &shifted) * float64(p.engine.Cylinders) / (4 * math.Pi),
		PeakPressure: out.peak, PeakAt: out.peakAt, Half: out.half, Develop: w.Develop, Rapid: w.Rapid,
		Residual: c.residual, HottestEndGas: out.hottest, Integral: out.integral,
		Knocks: knocks, Onset: out.onset, Unburned: out.onsetUnburned}, nil
}
