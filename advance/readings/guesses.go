package readings

import (
	"cmp"
	"math"
	"slices"
)

// guess is a single ramp found by trial, from which the fitting core starts.
type guess struct {
	static, travel, start, allIn float64
	loss                         float64
}

// The trial looks at so many places for the ends of the ramp and at so many
// pairs of readings to lay a line through.
const (
	trialEnds  = 12
	trialPairs = 48
	trialKept  = 5
	trialCut   = 9 // squared standard errors beyond which a reading costs no more
)

// guesses lays single ramps through pairs of readings: for given ends the curve
// is a line over the travelled part t, so that two readings fix it. Each is
// judged by all readings, with a loss that stops growing at three standard
// errors, so that outliers have no say (least truncated squares over elemental
// subsets: Rousseeuw and Leroy, Robust Regression and Outlier Detection, 1987,
// chapter 5). The best few that differ are returned.
func guesses(obs []observed, shape Shape, bend float64) []guess {
	ends := trialSpeeds(obs)
	pairs := trialReadings(obs)
	var kept []guess
	t := make([]float64, len(obs))
	for i, a := range ends {
		for _, b := range ends[i+1:] {
			for k, o := range obs {
				t[k] = shape.rise(math.Min(math.Max(o.rpm, a), b), a, b, bend).t
			}
			best := guess{loss: math.Inf(1), start: a, allIn: b}
			for _, p := range pairs {
				dt := t[p[1]] - t[p[0]]
				if math.Abs(dt) < 0.05 {
					continue
				}
				travel := (obs[p[1]].deg - obs[p[0]].deg) / dt
				if !(travel > 0 && travel < maxDegrees) {
					continue
				}
				static := obs[p[0]].deg - travel*t[p[0]]
				loss := 0.0
				for k, o := range obs {
					r := (o.deg - static - travel*t[k]) / o.sigmaDeg
					loss += math.Min(r*r, trialCut)
				}
				if loss < best.loss {
					best.static, best.travel, best.loss = static, travel, loss
				}
			}
			if !math.IsInf(best.loss, 1) {
				kept = append(kept, best)
			}
		}
	}
	slices.SortStableFunc(kept, func(a, b guess) int { return cmp.Compare(a.loss, b.loss) })
	var out []guess
	width := ends[len(ends)-1] - ends[0]
	for _, g := range kept {
		near := func(o guess) bool {
			return math.Abs(o.start-g.start)+math.Abs(o.allIn-g.allIn) < 0.2*width
		}
		if !slices.ContainsFunc(out, near) {
			out = append(out, g)
		}
		if len(out) == trialKept {
			break
		}
	}
	return out
}

// trialSpeeds returns places between the readings and just outside them.
func trialSpeeds(obs []observed) []float64 {
	speeds := make([]float64, len(obs))
	for k, o := range obs {
		speeds[k] = o.rpm
	}
	slices.Sort(speeds)
	speeds = slices.Compact(speeds)
	n := len(speeds)
	out := []float64{math.Max(speeds[0]-narrowest, 1)}
	inner := min(n-1, trialEnds-2)
	for k := range inner {
		j := k * (n - 1) / inner
		out = append(out, (speeds[j]+speeds[j+1])/2)
	}
	return append(out, speeds[n-1]+narrowest)
}

// trialReadings returns pairs of readings, evenly thinned.
func trialReadings(obs []observed) [][2]int {
	n := len(obs)
	all := n * (n - 1) / 2
	step := max(1, float64(all)/trialPairs)
	var out [][2]int
	next, count := 0.0, 0
	for i := range n {
		for j := i + 1; j < n; j++ {
			if float64(count) >= next {
				out = append(out, [2]int{i, j})
				next += step
			}
			count++
		}
	}
	return out
}

// vector writes a guess for each run into a parameter vector of f; where runs
// share a parameter the donor's own figure stands.
func (f *fitter) vector(gs []guess, donor int, bend float64) []float64 {
	x := make([]float64, f.params)
	put := func(i int) {
		g, at := gs[i], f.runs[i].at
		set := func(r role, v float64) {
			if at[r] >= 0 {
				x[at[r]] = v
			}
		}
		set(roleStatic, g.static)
		set(roleTravel, g.travel)
		set(rolePart, 0.5)
		set(roleStart, g.start)
		set(roleKnee, (g.start+g.allIn)/2)
		set(roleAllIn, g.allIn)
		set(roleBend1, bend)
		set(roleBend2, bend)
		set(roleHysteresis, 20)
	}
	for i := range gs {
		put(i)
	}
	put(donor)
	return x
}

// split turns a fitted single ramp into trial pairs of ramps in f, which has the
// same runs with two: knees at parts of the way, with the curve lifted or
// lowered there.
func (f *fitter) split(one *fitter) [][]float64 {
	var out [][]float64
	for _, way := range []float64{0.15, 0.3, 0.5, 0.7, 0.85} {
		for _, lift := range []float64{-0.2, -0.08, 0.08, 0.2} {
			x := make([]float64, f.params)
			for i := range f.runs {
				at, from := f.runs[i].at, one.runs[i].at
				for r := range at {
					if at[r] >= 0 && from[r] >= 0 {
						x[at[r]] = one.best[from[r]]
					}
				}
				a, b := x[at[roleStart]], x[at[roleAllIn]]
				bend := 1.0
				if at[roleBend1] >= 0 {
					bend = math.Exp(x[at[roleBend1]])
					x[at[roleBend1]] /= 2
					x[at[roleBend2]] = x[at[roleBend1]]
				}
				knee := a + way*(b-a)
				x[at[roleKnee]] = knee
				part := f.shape.rise(knee, a, math.Max(b, a+narrowest), bend).t + lift
				x[at[rolePart]] = math.Min(math.Max(part, 0.05), 0.95)
			}
			out = append(out, x)
		}
	}
	return out
}
