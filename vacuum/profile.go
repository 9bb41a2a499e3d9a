package vacuum

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// fit is the likelihood of hand-pump readings. Both errors err; to first order the
// error of the vacuum turns into one of the angle by the slope at the reading
// (effective variance: Orear, American Journal of Physics 50 (1982) 912).
type fit struct {
	readings []PumpReading
	errors   MeasurementError
	down     bool   // whether some were taken while the vacuum was let down
	starts   []ramp // likely lines, from which best was found
	best     ramp
	level    float64 // misfit of best
}

// squares is the sum of squared misfits in units of their error, and the number
// of readings on the slope.
func (f *fit) squares(r ramp) (sum float64, onSlope int) {
	flat := 1 / (f.errors.Theta * f.errors.Theta)
	v := r.slope() * f.errors.Vacuum
	steep := 1 / (f.errors.Theta*f.errors.Theta + v*v)
	for _, p := range f.readings {
		theta, slope := r.at(p)
		d := p.Theta - theta
		if slope == 0 {
			sum += d * d * flat
			continue
		}
		sum += d * d * steep
		onSlope++
	}
	return sum, onSlope
}

// misfit is minus twice the logarithm of the likelihood, but for a constant. The
// logarithm of the error stands against steep lines that claim large errors.
func (f *fit) misfit(r ramp) float64 {
	if !r.possible() {
		return math.Inf(1)
	}
	sum, onSlope := f.squares(r)
	return sum + 2*float64(onSlope)*math.Log(math.Hypot(1, r.slope()*f.errors.Vacuum/f.errors.Theta))
}

// quantity is the parameter that a profile holds fixed.
type quantity int

const (
	nothing quantity = iota
	byOnset
	bySlope
	byFull
	byMost
	byBand
)

func (q quantity) of(r ramp) float64 {
	return [...]float64{0, r.onset, r.slope(), r.full, r.most, r.band}[q]
}

// pack and unpack put the free parameters in numbers of like size and take them
// out again, with the quantity held at value.
func (f *fit) pack(r ramp, q quantity) []float64 {
	x := []float64{r.onset / 1e4, (r.full - r.onset) / 1e4, r.most * 10}
	switch q {
	case byOnset:
		x = x[1:]
	case bySlope, byMost:
		x = x[:2]
	case byFull:
		x = []float64{x[0], x[2]}
	}
	if f.down && q != byBand {
		x = append(x, r.band/1e4)
	}
	return x
}

func (f *fit) unpack(x []float64, q quantity, value float64) ramp {
	next := func() float64 { v := x[0]; x = x[1:]; return v }
	var r ramp
	switch q {
	case byOnset:
		r.onset = value
		r.full, r.most = value+next()*1e4, next()/10
	case bySlope:
		r.onset = next() * 1e4
		width := next() * 1e4
		r.full, r.most = r.onset+width, value*width
	case byFull:
		r.onset, r.full, r.most = next()*1e4, value, next()/10
	case byMost:
		r.onset = next() * 1e4
		r.full, r.most = r.onset+next()*1e4, value
	default:
		r.onset = next() * 1e4
		r.full = r.onset + next()*1e4
		r.most = next() / 10
	}
	switch {
	case q == byBand:
		r.band = value
	case f.down:
		r.band = next() * 1e4
	}
	return r
}

// wall is the misfit of a line that cannot be, large enough for the simplex to
// turn back from.
const wall = 1e9

// descend finds the least misfit near start with a quantity held.
func (f *fit) descend(start ramp, q quantity, value float64) (ramp, float64) {
	cost := func(x []float64) float64 {
		return math.Min(wall, f.misfit(f.unpack(x, q, value)))
	}
	x := f.pack(start, q)
	best := f.unpack(x, q, value) // the start, moved to where the quantity has its value
	level := f.misfit(best)
	for range 2 { // a second, fresh simplex leaves kinks at which the first has collapsed
		if m := simplex(cost, x, 0.1); m < level {
			best, level = f.unpack(x, q, value), m
		}
	}
	return best, level
}

// search looks for the best line over all places where it may begin and end, and
// descends from the most likely ones.
func (f *fit) search() {
	f.level = math.Inf(1)
	places := candidates(f.readings)
	top := 0.0
	for _, p := range f.readings {
		top = math.Max(top, p.Theta)
	}
	type start struct {
		r ramp
		m float64
	}
	var starts [4]start
	for i := range starts {
		starts[i].m = math.Inf(1)
	}
	for i, onset := range places {
		for _, full := range places[i+1:] {
			for _, share := range []float64{0.9, 1, 1.2} {
				r := ramp{onset: onset, full: full, most: share * top}
				if f.down {
					r.band = f.errors.Vacuum
				}
				s := start{r, f.misfit(r)}
				for k := range starts {
					if s.m < starts[k].m {
						s, starts[k] = starts[k], s
					}
				}
			}
		}
	}
	for _, s := range starts {
		if math.IsInf(s.m, 1) {
			continue
		}
		f.starts = append(f.starts, s.r)
		if r, m := f.descend(s.r, nothing, 0); m < f.level {
			f.best, f.level = r, m
		}
	}
}

// interval profiles a quantity: the others are fitted anew at each value, and the
// interval ends where minus twice the logarithm of the likelihood has risen by the
// 95 per cent point of chi-squared with one degree of freedom (Wilks). An end that
// is not met between lo and hi is open.
func (f *fit) interval(best ramp, q quantity, lo, hi float64) PumpEstimate {
	rise := distuv.ChiSquared{K: 1}.Quantile(0.95)
	at := q.of(best)
	e := PumpEstimate{Value: at}
	e.Low, e.NoLow = f.side(best, q, at, lo, rise)
	e.High, e.NoHigh = f.side(best, q, at, hi, rise)
	if q == byBand && e.NoLow { // a band of nothing is no open end: friction may be nil
		e.NoLow = false
	}
	return e
}

// side walks from the best value towards an end in growing steps, each started
// from the fit before, and halves the step in which the profile crosses.
func (f *fit) side(best ramp, q quantity, at, end, rise float64) (value float64, open bool) {
	if end == at {
		return end, true
	}
	inside, from := at, best
	// beyond fits anew at a value. Readings change sides of the line's corners, and the
	// misfit has a valley for each choice: one fit is no proof that all are above.
	beyond := func(value float64) (ramp, bool) {
		fitted, level := f.descend(from, q, value)
		for i := 0; level > f.level+rise && i < len(f.starts); i++ {
			if r, m := f.descend(f.starts[i], q, value); m < level {
				fitted, level = r, m
			}
		}
		return fitted, level > f.level+rise
	}
	for share := 5e-3; ; share *= 2 {
		outside := at + math.Min(1, share)*(end-at)
		fitted, over := beyond(outside)
		if over {
			for range 12 {
				mid := (inside + outside) / 2
				r, over := beyond(mid)
				if over {
					outside = mid
				} else {
					inside, from = mid, r
				}
			}
			return outside, false
		}
		if share >= 1 {
			return end, true
		}
		inside, from = outside, fitted
	}
}
