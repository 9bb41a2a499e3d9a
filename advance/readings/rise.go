package readings

import "fmt"

// Rise returns the mechanical advance gained between two engine speeds, crank
// degrees, with its 95 % interval. Where from lies below the lowest reading and
// the start was not seen, or to above the highest and the stop was not seen, the
// gain is at least that over the readings. It refuses speeds outside 0 to 20,000
// rpm or out of order, and a Result that no fit made.
func (r *Result) Rise(from, to float64) (Estimate, error) {
	if err := r.made(); err != nil {
		return Estimate{}, err
	}
	if !(from >= 0 && to >= from && to <= maxRPM) {
		return Estimate{}, fmt.Errorf("%w: speeds are %.6g to %.6g rpm crank, valid is a rising pair in 0 to 20000", errRange, from, to)
	}
	return r.rise(from, to), nil
}

// made refuses a Result that no fit made.
func (r *Result) made() error {
	if r == nil || r.fit == nil {
		return fmt.Errorf("%w: the result is empty, valid is one that Fit returned", errRange)
	}
	return nil
}

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

// TotalSetAtIdle returns the total advance that is left when the timing is set to
// so many crank degrees at idle with the hose off. Part of what is set there may be
// mechanical.
func (r *Result) TotalSetAtIdle(degrees, idle float64) (Estimate, error) {
	if !(degrees >= -maxDegrees && degrees <= maxDegrees) {
		return Estimate{}, outOfRange("timing at idle", degrees, "deg crank", "-180 to 180")
	}
	e, err := r.Rise(idle, maxRPM)
	if err != nil || e.Bound == Unknown {
		return e, err
	}
	return e.plus(degrees), nil
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
