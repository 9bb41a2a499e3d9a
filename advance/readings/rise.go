package readings

import (
	"fmt"
)

// made refuses a Result that no fit made.
func (r *Result) made() error {
	if r == nil || r.fit == nil {
		return fmt.Errorf("%w: the result is empty, valid is one that Fit returned", errRange)
	}
	return nil
}

// rise is the mechanical advance gained between two engine speeds in rising order,
// crank degrees. Where from lies below the lowest reading and the start was not seen,
// or to above the highest and the stop was not seen, the gain is at least that over
// the readings.
func (r *Result) rise(from, to float64) Estimate {
	if r.Model.Slopes == 0 {
		return Estimate{Bound: Unknown}
	}
	p := r.fit
	low, high := p.low, p.high
	open := false
	if from < low && r.Static.Bound != Interval {
		from, open = low, true
	}
	if to > high && r.Total.Bound != Interval {
		to, open = high, true
	}
	if to <= from {
		return Estimate{Bound: Unknown}
	}
	gain := func(s *sample) float64 { return s.advance(to) - s.advance(from) }
	if open {
		return p.atLeast(gain)
	}
	return p.interval(gain)
}

// totalSetAtIdle is the total advance that is left when the timing is set to so many
// crank degrees at idle with the hose off. Part of what is set there may be
// mechanical.
func (r *Result) totalSetAtIdle(degrees, idle float64) Estimate {
	return r.rise(idle, maxRPM).plus(degrees)
}

// plus shifts an estimate.
func (e Estimate) plus(d float64) Estimate {
	if e.Bound == Unknown {
		return e
	}
	e.Value += d
	if e.Bound != AtMost {
		e.Low += d
	}
	if e.Bound != AtLeast {
		e.High += d
	}
	return e
}
