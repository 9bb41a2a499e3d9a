package readings

import (
	"math"
	"slices"

	"example.org/bobweight/springs/leastsquares"
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

// clone returns an ensemble that can be profiled without touching e.
func (e *ensemble) clone() *ensemble {
	c := *e
	c.families = slices.Clone(e.families)
	for k, old := range e.families {
		f := *old.fitter
		f.work = leastsquares.Work{}
		f.walk = [3][]float64{}
		c.families[k].fitter = &f
		if old.fitter == e.fitter {
			c.fitter = &f
		}
	}
	return &c
}

// at returns a quantity at the best parameters.
func (f *fitter) at(q figure) float64 {
	return f.value(f.best, q, &f.scratch[0])
}

// pinned returns the least deviance with the quantity held at v, moving x there.
func (f *fitter) pinned(q figure, v float64, x []float64) float64 {
	_, sigma := q.kind.step()
	f.approach(q, v, x)
	f.pinning = pin{q, v, sigma, 0}
	f.pin = &f.pinning
	d, err := f.minimise(x, false)
	f.pin = nil
	if err != nil {
		return math.Inf(1)
	}
	return d
}

// usual is the size of a change of a parameter that counts as small.
var usual = [roles]float64{
	roleStatic: 1, roleTravel: 1, rolePart: 0.05, roleStart: 60, roleKnee: 60, roleAllIn: 60,
	roleBend1: 0.3, roleBend2: 0.3, roleHysteresis: 60,
}

// approach moves x by the least change, in usual sizes, that brings a quantity
// near v. A minimisation that started far from where the quantity is pinned would
// spend its first step on that alone and lose the curve.
func (f *fitter) approach(q figure, v float64, x []float64) {
	size, g := &f.scratch[0], &f.scratch[1]
	for i := range f.runs {
		for r, j := range f.runs[i].at {
			if j >= 0 {
				size[j] = usual[r]
			}
		}
	}
	for range 4 {
		miss := v - f.value(x, q, g)
		norm := 0.0
		for j := range f.params {
			norm += g[j] * g[j] * size[j] * size[j]
		}
		if norm == 0 || miss == 0 {
			return
		}
		for j := range f.params {
			x[j] += g[j] * size[j] * size[j] * miss / norm
		}
		f.clip(x)
		f.order(x)
	}
}

// limit walks from a local minimum to the side given by sign until the least
// deviance with the quantity held there lies by the threshold above the floor:
// the end of the profile likelihood interval. Where the rise is not reached
// within reach, the side is open: ok is false. An end that lies no further out than
// found need not be known better than that.
func (f *fitter) limit(q figure, from mode, floor, sign, threshold, trial, reach, found float64) (value float64, ok bool) {
	g := &f.scratch[0]
	centre := f.value(from.x, q, g)
	for k := range f.walk {
		f.walk[k] = append(f.walk[k][:0], from.x...)
	}
	w := walk{
		least: func(h float64, x []float64) float64 { return f.pinned(q, centre+sign*h, x) },
		floor: floor, threshold: threshold,
		from: from.x, inside: f.walk[0], outside: f.walk[1], trial: f.walk[2],
	}
	known := f.variance(from, g)
	step, _ := q.kind.step()
	switch {
	case trial > 0:
	case known > 0:
		trial = math.Min(math.Max(math.Sqrt(threshold*known), step/10), 5*step)
	default:
		trial = step
	}
	h, ok := w.out(from.deviance, trial, reach, sign*(found-centre))
	return centre + sign*h, ok
}

// variance is that of a quantity of gradient g in the linear model at a local
// minimum, 0 where it is not known.
func (f *fitter) variance(from mode, g *gradient) float64 {
	if from.covariance == nil {
		return 0
	}
	n, sum := f.params, 0.0
	for i := range n {
		for j := range n {
			sum += g[i] * from.covariance[i*n+j] * g[j]
		}
	}
	return sum
}

// walk seeks the end of a profile likelihood interval on one side.
type walk struct {
	// least returns the least deviance with the quantity held at a distance from
	// where it is best, moving x to where that is.
	least            func(distance float64, x []float64) float64
	floor, threshold float64
	from             []float64 // the best parameters
	// Working memory, at the best parameters to begin with: the best below and above
	// the threshold, and on trial.
	inside, outside, trial []float64
}

// out returns the distance at which the least deviance has risen by the threshold
// above the floor, or reach and false if it has not by then. The square root of the
// rise is nearly straight, so that a secant finds it in a few fits, fewer with a
// good first trial distance; each fit after the first starts where the ones before
// point to. The first starts at the best parameters, for where the linear model
// points to there may be a corner of the curve in between, and a lesser minimum
// beyond. deviance is that at no distance. An end nearer than known is not refined.
func (w *walk) out(deviance, trial, reach, known float64) (distance float64, ok bool) {
	goal := math.Sqrt(w.threshold)
	root := func(d float64) float64 { return math.Sqrt(math.Max(d-w.floor, 0)) - goal }
	near, nearRise := 0.0, root(deviance)
	far, farRise := math.Min(trial, reach), 0.0
	for {
		if near > 0 {
			for j, v := range w.from {
				w.outside[j] = v + (w.inside[j]-v)*far/near
			}
		}
		farRise = root(w.least(far, w.outside))
		if farRise >= 0 {
			if far <= known {
				return far, true
			}
			break
		}
		if far >= reach {
			return reach, false
		}
		copy(w.inside, w.outside)
		next := far * 4
		if farRise > nearRise {
			next = far + 1.08*(far-near)*-farRise/(farRise-nearRise)
		}
		near, nearRise = far, farRise
		far = math.Min(math.Min(math.Max(next, 1.02*far), 4*far), reach)
	}
	x := w.trial
	for range 8 {
		if farRise < 0.05 || -nearRise < 0.05 || far-near < 0.15*far {
			break // so near the end that the straight line between the two hits it
		}
		h := near + (far-near)*-nearRise/(farRise-nearRise)
		h = math.Min(math.Max(h, near+0.05*(far-near)), far-0.05*(far-near))
		for j := range x {
			x[j] = w.inside[j] + (w.outside[j]-w.inside[j])*(h-near)/(far-near)
		}
		if r := root(w.least(h, x)); r >= 0 {
			far, farRise = h, r
			copy(w.outside, x)
		} else {
			near, nearRise = h, r
			copy(w.inside, x)
		}
	}
	return near + (far-near)*-nearRise/(farRise-nearRise), true
}

// ends returns the outermost limit over all families and local minima that the
// threshold allows; trial is the distance at which it may be expected, 0 if not
// known.
func (e *ensemble) ends(q figure, sign, threshold, trial float64) (value float64, ok bool) {
	value = e.at(q)
	for _, f := range e.families {
		if f.slopes != e.slopes && (q.kind.ofRamps() || f.slopes == 0) {
			continue
		}
		floor := e.level - f.charge
		for _, m := range f.modes {
			if m.deviance-floor >= threshold {
				continue
			}
			end, closed := f.limit(q, m, floor, sign, threshold, trial, f.reach(q, m.x, sign), value)
			if !closed {
				return end, false
			}
			if sign*(end-value) > 0 {
				value = end
			}
		}
	}
	return value, true
}

// ofRamps reports whether a quantity is one of a certain number of ramps.
func (k kind) ofRamps() bool { return k == kindKnee || k == kindSlope1 || k == kindSlope2 }

// reach is how far a quantity can go on a side.
func (f *fitter) reach(q figure, x []float64, sign float64) float64 {
	at := f.runs[q.run].at
	box := func(r role) float64 {
		v := x[at[r]]
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
			return f.value(x, q, &f.scratch[0])
		}
		return 1
	case kindTravel, kindClimb:
		if sign < 0 {
			return f.value(x, q, &f.scratch[0])
		}
	}
	return maxDegrees
}

// interval returns the two-sided estimate of a quantity, or a one-sided one
// where a side stays open.
func (e *ensemble) interval(q figure) Estimate {
	v := e.at(q)
	low, lowOK := e.ends(q, -1, e.both, 0)
	trial := 0.0
	if lowOK {
		trial = v - low // most intervals are nearly symmetrical
	}
	high, highOK := e.ends(q, 1, e.both, trial)
	switch {
	case lowOK && highOK:
		return Estimate{Value: v, Low: low, High: high}
	case highOK:
		return e.atMost(q)
	case lowOK:
		return e.atLeast(q)
	}
	return Estimate{Bound: Unknown}
}

// within is the interval of a speed at which something happens that the readings
// are known to show, so that it lies between their outermost speeds.
func (e *ensemble) within(q figure, least, most float64) Estimate {
	low, ok := e.ends(q, -1, e.both, 0)
	if !ok || low < least {
		low = least
	}
	high, ok := e.ends(q, 1, e.both, 0)
	if !ok || high > most {
		high = most
	}
	return Estimate{Value: math.Min(math.Max(e.at(q), low), high), Low: low, High: high}
}

func (e *ensemble) atMost(q figure) Estimate {
	v := e.at(q)
	high, ok := e.ends(q, 1, e.single, 0)
	if !ok {
		return Estimate{Bound: Unknown}
	}
	return Estimate{Value: v, Low: v, High: high, Bound: AtMost}
}

func (e *ensemble) atLeast(q figure) Estimate {
	v := e.at(q)
	low, ok := e.ends(q, -1, e.single, 0)
	if !ok {
		return Estimate{Bound: Unknown}
	}
	return Estimate{Value: v, Low: low, High: v, Bound: AtLeast}
}
