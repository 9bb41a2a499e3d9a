package readings

import (
	"math"
	"slices"
)

// step is a first trial distance for a quantity and the standard error with
// which a profile pins it: small against what a light can show.
func (k kind) step() (trial, pinned float64) {
	switch k {
	case kindStart, kindKnee, kindAllIn, kindHysteresis:
		return 60, 0.1
	case kindSlope1, kindSlope2:
		return 1e-3, 1e-6
	}
	return 1, 1e-3
}

// clone returns a fitter that can be profiled without touching f.
func (f *fitter) clone() *fitter {
	return &fitter{
		likelihood: f.likelihood, low: f.low, high: f.high, best: slices.Clone(f.best),
		deviance: f.deviance, elsewhere: f.elsewhere, span: f.span,
	}
}

// at returns a quantity at the best parameters.
func (f *fitter) at(q quantity) float64 {
	var g gradient
	return f.value(f.best, q, &g)
}

// pinned returns the least deviance with the quantity held at v, moving x there.
func (f *fitter) pinned(q quantity, v float64, x []float64) float64 {
	_, sigma := q.kind.step()
	f.pin = &pin{q, v, sigma}
	d, err := f.minimise(x, false)
	f.pin = nil
	if err != nil {
		return math.Inf(1)
	}
	return d
}

// limit walks from the best value of a quantity to the side given by sign until
// the least deviance with the quantity held there has risen by the threshold:
// the end of the profile likelihood interval. The square root of the rise is
// nearly straight, so that a secant finds it in a few fits. Where the rise is
// not reached within reach, the side is open: ok is false.
func (f *fitter) limit(q quantity, sign, threshold, reach float64) (value float64, ok bool) {
	centre := f.at(q)
	goal := math.Sqrt(threshold)
	rise := func(h float64, x []float64) float64 {
		d := f.pinned(q, centre+sign*h, x) - f.deviance
		return math.Sqrt(math.Max(d, 0)) - goal
	}
	h, _ := q.kind.step()
	h = math.Min(h, reach)
	near, nearRise := 0.0, -goal
	x := slices.Clone(f.best)
	inside := slices.Clone(f.best)
	far, farRise := 0.0, 0.0
	for {
		farRise = rise(h, x)
		far = h
		if farRise >= 0 {
			break
		}
		if h >= reach {
			return centre + sign*reach, false
		}
		copy(inside, x)
		next := h * 4
		if farRise > nearRise {
			next = h + 1.1*(h-near)*-farRise/(farRise-nearRise)
		}
		near, nearRise = h, farRise
		h = math.Min(math.Min(math.Max(next, 1.3*h), 4*h), reach)
	}
	for range 8 {
		if farRise < 0.02 || -nearRise < 0.02 {
			break
		}
		h = near + (far-near)*-nearRise/(farRise-nearRise)
		h = math.Min(math.Max(h, near+0.05*(far-near)), far-0.05*(far-near))
		copy(x, inside)
		if r := rise(h, x); r >= 0 {
			far, farRise = h, r
		} else {
			near, nearRise = h, r
			copy(inside, x)
		}
	}
	h = near + (far-near)*-nearRise/(farRise-nearRise)
	return centre + sign*h, true
}

// reach is how far a quantity can go on a side.
func (f *fitter) reach(q quantity, sign float64) float64 {
	at := f.runs[q.run].at
	box := func(r role) float64 {
		v := f.best[at[r]]
		if sign < 0 {
			return math.Max(v-f.low[at[r]], 0)
		}
		return math.Max(f.high[at[r]]-v, 0)
	}
	switch q.kind {
	case kindStart:
		return box(roleStart)
	case kindKnee:
		return box(roleKnee)
	case kindAllIn:
		return box(roleAllIn)
	case kindHysteresis:
		return box(roleHysteresis)
	case kindSlope1, kindSlope2:
		if sign < 0 {
			return f.at(q)
		}
		return 1
	case kindTravel, kindClimb:
		if sign < 0 {
			return f.at(q)
		}
	}
	return maxDegrees
}

// interval returns the two-sided estimate of a quantity, or a one-sided one
// where a side stays open.
func (f *fitter) interval(q quantity) Estimate {
	low, lowOK := f.limit(q, -1, twoSided, f.reach(q, -1))
	high, highOK := f.limit(q, 1, twoSided, f.reach(q, 1))
	v := f.at(q)
	switch {
	case lowOK && highOK:
		return Estimate{Value: v, Low: low, High: high}
	case highOK:
		return f.atMost(q)
	case lowOK:
		return f.atLeast(q)
	}
	return Estimate{Bound: Unknown}
}

func (f *fitter) atMost(q quantity) Estimate {
	v := f.at(q)
	high, ok := f.limit(q, 1, oneSided, f.reach(q, 1))
	if !ok {
		return Estimate{Bound: Unknown}
	}
	return Estimate{Value: v, Low: v, High: high, Bound: AtMost}
}

func (f *fitter) atLeast(q quantity) Estimate {
	v := f.at(q)
	low, ok := f.limit(q, -1, oneSided, f.reach(q, -1))
	if !ok {
		return Estimate{Bound: Unknown}
	}
	return Estimate{Value: v, Low: low, High: v, Bound: AtLeast}
}
