package readings

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Change is what a builder does to the distributor between two sets of readings.
// The zero value changes nothing.
type Change struct {
	Turn   float64 // crank degrees added by turning the distributor; retarding is negative
	Travel float64 // crank degrees of travel taken away at the slot; giving more is negative
	// Springs and Weights are the factors on the moments of all springs and of all
	// weights, more than 0.05 and at most 20; 0 means unchanged. Equilibrium holds the
	// squared speed in proportion to Springs/Weights at every position.
	Springs, Weights float64
}

// speed returns the factor on every speed of the curve, after checking.
func (c Change) speed() (float64, error) {
	if !(math.Abs(c.Turn) <= maxDegrees) {
		return 0, valid.Refuse(errRange, "turn of the distributor", c.Turn, degCrank, "-180 to 180")
	}
	if !(math.Abs(c.Travel) <= maxDegrees) {
		return 0, valid.Refuse(errRange, "travel taken away", c.Travel, degCrank, "-180 to 180")
	}
	factor := func(name string, v float64) (float64, error) {
		if v == 0 {
			return 1, nil
		}
		if !(v > 0.05 && v <= 20) {
			return 0, valid.Refuse(errRange, "factor on the moments of the "+name, v, "", "more than 0.05 and at most 20, or 0 for unchanged")
		}
		return v, nil
	}
	springs, err := factor("springs", c.Springs)
	if err != nil {
		return 0, err
	}
	weights, err := factor("weights", c.Weights)
	return math.Sqrt(springs / weights), err
}

// Expected is what the light should show at a speed after a change.
type Expected struct {
	RPM   float64
	Curve Estimate // the curve, crank degrees
	// Low and High are the window in which one more reading falls in 95 of 100
	// cases: the band of the curve and the error of the reading together. A side
	// that the first readings do not know is 180 degrees off.
	Low, High float64
}

// Expect predicts what the light shows after a change at engine speeds of 0 to
// 20,000 rpm. It refuses speeds and changes outside their ranges and a Result
// that no fit made.
func (r *Result) Expect(c Change, rpm []float64) ([]Expected, error) {
	if err := r.made(); err != nil {
		return nil, err
	}
	k, err := c.speed()
	if err != nil {
		return nil, err
	}
	out := make([]Expected, len(rpm))
	for i, n := range rpm {
		if !(n >= 0 && n <= maxRPM) {
			return nil, valid.Refuse(errRange, "speed", n, rpmCrank, "0 to 20000")
		}
		e := r.stopped(r.band(n/k, false), c).plus(c.Turn)
		slope := (r.best(n/k+10) - r.best(n/k-10)) / (20 * k)
		err := r.fit.size * e.sides() * math.Hypot(r.set.SigmaDegrees, r.set.SigmaRPM*slope)
		x := Expected{RPM: n, Curve: e, Low: -maxDegrees, High: maxDegrees}
		if e.Bound == Interval || e.Bound == AtLeast {
			x.Low = e.Value - math.Hypot(e.Value-e.Low, err)
		}
		if e.Bound == Interval || e.Bound == AtMost {
			x.High = e.Value + math.Hypot(e.High-e.Value, err)
		}
		out[i] = x
	}
	return out, nil
}

// stopped holds an estimate of the curve below the stop that a change of travel
// leaves. Where the stop moves away, what lies beyond it was not seen.
func (r *Result) stopped(e Estimate, c Change) Estimate {
	t := r.Total
	switch {
	case c.Travel == 0 || t.Bound == Unknown || t.Bound == AtLeast && c.Travel > 0:
		// An unknown stop that moves inwards cannot be placed on the curve.
		return e
	case c.Travel > 0:
		top := t.plus(-c.Travel)
		e.Value = math.Min(e.Value, top.Value)
		if e.Bound != AtMost {
			e.Low = math.Min(e.Low, top.Low)
		}
		if e.Bound != AtLeast {
			e.High = math.Min(e.High, top.High)
		}
	case e.Bound == Interval && e.High >= t.Low:
		e.Bound, e.High = AtLeast, 0
	}
	return e
}

// best is the likeliest curve at a speed.
func (r *Result) best(rpm float64) float64 { return r.fit.best.advance(rpm) }
