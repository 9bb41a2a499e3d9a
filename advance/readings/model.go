package readings

import (
	"cmp"
	"math"
	"slices"
)

// Model says which curve was found likeliest.
type Model struct {
	Slopes int  // stages between the plateaus: 0 (a level line), 1 or 2
	Listed bool // about the curve of the listed parts
	// StartSeen and AllInSeen say that the readings show the start, and the stop, so
	// that an interval has both its ends.
	StartSeen, AllInSeen bool
}

// String returns the model in words.
func (m Model) String() string {
	seen := func(ok bool, what string) string {
		if ok {
			return what + " seen"
		}
		return what + " not seen"
	}
	if m.Slopes == 0 {
		return "level line"
	}
	return m.name() + ", " + seen(m.StartSeen, "start") + ", " + seen(m.AllInSeen, "all-in")
}

// name is the model without what the readings show of it.
func (m Model) name() string {
	name := [...]string{"level line", "one slope", "two slopes"}[min(max(m.Slopes, 0), 2)]
	if m.Listed {
		name += " as listed"
	}
	return name
}

// Candidate is one line of the table of models.
type Candidate struct {
	Model       Model
	Probability float64 // that the readings leave it
	Chosen      bool    // the most probable
}

// noRamp is the part of the travel between the outermost readings below which they
// show no ramp.
const noRamp = 0.05

// criteria is the table of models. The start and stop seen are those of the curves of
// each model.
func (p *posterior) criteria() []Candidate {
	out := make([]Candidate, 0, len(p.share))
	for i, f := range p.families {
		out = append(out, Candidate{Model: Model{Slopes: f.stages, Listed: f.listed}, Probability: p.share[i]})
	}
	out = append(out, Candidate{Probability: p.share[len(p.families)]})
	// A curve whose readings all lie on one of its levels is a level line to them.
	level := &out[len(out)-1]
	flat := p.probability(func(s *sample) bool { return s.at.Travelled(p.high)-s.at.Travelled(p.low) < noRamp })
	if level.Probability+(1-level.Probability)*flat > 0.5 {
		level.Chosen = true
		return out
	}
	best := 0
	for i := range p.families {
		if out[i].Probability > out[best].Probability+1e-9 {
			best = i
		}
	}
	out[best].Chosen = true
	return out
}

// advance is the timing of a curve at a rising speed, crank degrees.
func (s *sample) advance(rpm float64) float64 { return s.static + s.travel*s.at.Travelled(rpm) }

// probability is the share of the curves for which something holds.
func (p *posterior) probability(holds func(s *sample) bool) float64 {
	sum := 0.0
	for i := range p.samples {
		if holds(&p.samples[i]) {
			sum += p.samples[i].weight
		}
	}
	return sum
}

// weighted is a value with its share.
type weighted struct{ value, weight float64 }

// quantiles returns those of a quantity over the curves at rising shares.
func (p *posterior) quantiles(of func(s *sample) float64, at ...float64) []float64 {
	v := make([]weighted, len(p.samples))
	for i := range p.samples {
		v[i] = weighted{of(&p.samples[i]), p.samples[i].weight}
	}
	out := make([]float64, len(at))
	for i, share := range at {
		out[i] = quantile(v, share)
	}
	return out
}

// quantile returns the least value with at least a share of the weight at or below
// it, and shuffles the values: parts that cannot hold it are left aside one after the
// other (Hoare, Algorithm 65: Find, Communications of the ACM 4, 1961, p. 321, with
// weights).
func quantile(v []weighted, share float64) float64 {
	for range 64 {
		if len(v) <= 12 {
			break
		}
		// The middle one of three parts the values into less, equal and more.
		a, b, c := v[0].value, v[len(v)/2].value, v[len(v)-1].value
		pivot := math.Max(math.Min(a, b), math.Min(math.Max(a, b), c))
		less, more := 0, len(v)
		below, equal := 0.0, 0.0
		for i := 0; i < more; {
			switch x := v[i]; {
			case x.value < pivot:
				below += x.weight
				v[i], v[less] = v[less], x
				less++
				i++
			case x.value > pivot:
				more--
				v[i], v[more] = v[more], x
			default:
				equal += x.weight
				i++
			}
		}
		switch {
		case share <= below && less > 0:
			v = v[:less]
		case share <= below+equal || more == len(v):
			return pivot
		default:
			share -= below + equal
			v = v[more:]
		}
	}
	slices.SortFunc(v, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
	for _, x := range v {
		if share -= x.weight; share <= 0 {
			return x.value
		}
	}
	return v[len(v)-1].value
}

// interval is the 95 % interval of a quantity with its value on the likeliest curve,
// or at the nearer end where that lies outside.
func (p *posterior) interval(of func(s *sample) float64) Estimate {
	q := p.quantiles(of, 0.025, 0.975)
	return Estimate{Value: math.Min(math.Max(of(&p.best), q[0]), q[1]), Low: q[0], High: q[1]}
}

func (p *posterior) atMost(of func(s *sample) float64) Estimate {
	q := p.quantiles(of, 0.95)
	return Estimate{Value: math.Min(of(&p.best), q[0]), High: q[0], Bound: AtMost}
}

func (p *posterior) atLeast(of func(s *sample) float64) Estimate {
	q := p.quantiles(of, 0.05)
	return Estimate{Value: math.Max(of(&p.best), q[0]), Low: q[0], Bound: AtLeast}
}

// which splits curves into two kinds.
type which func(s *sample) bool

// ofTwoStages and hiddenStart are kinds of curves: a second spring is taken up on the way;
// the advance begins below all readings.
func ofTwoStages(s *sample) bool                { return s.curve.TakeUp > 0 }
func (p *posterior) hiddenStart(s *sample) bool { return s.curve.Start < p.low }

// either returns the values of a quantity over the curves of each kind that has at least
// a share of all, in rising order and with shares that sum to 1.
func (p *posterior) either(is which, least float64, of func(s *sample) float64) [][]weighted {
	all := make([]weighted, 2*len(p.samples))
	laws := [2][]weighted{all[:0:len(p.samples)], all[len(p.samples):len(p.samples)]}
	var sum [2]float64
	for i := range p.samples {
		s, k := &p.samples[i], 0
		if is(s) {
			k = 1
		}
		laws[k] = append(laws[k], weighted{of(s), s.weight})
		sum[k] += s.weight
	}
	var out [][]weighted
	for k, law := range laws {
		if sum[k] < least {
			continue
		}
		for i := range law {
			law[i].weight /= sum[k]
		}
		slices.SortFunc(law, func(a, b weighted) int { return cmp.Compare(a.value, b.value) })
		out = append(out, law)
	}
	return out
}

// forEither is an interval that holds the quantity in 95 % of the curves of one kind and
// in 95 % of those of the other, where both have at least a share of all. An interval over
// all curves may leave out the end that only one kind reaches: with two stages all-in lies
// far above what one stage gives.
func (p *posterior) forEither(is which, least float64, of func(s *sample) float64) Estimate {
	laws := p.either(is, least, of)
	if len(laws) < 2 {
		return p.interval(of)
	}
	var low, high float64
	for tail := 0.05; tail > 0.024; tail -= 0.0025 {
		low = math.Min(inOrder(laws[0], tail), inOrder(laws[1], tail))
		high = math.Max(inOrder(laws[0], 1-tail), inOrder(laws[1], 1-tail))
		if within(laws[0], low, high) >= 0.95 && within(laws[1], low, high) >= 0.95 {
			break
		}
	}
	return Estimate{Value: math.Min(math.Max(of(&p.best), low), high), Low: low, High: high}
}

// atLeastForEither is the limit that 95 % of the curves of one kind exceed, and 95 % of
// those of the other, where both have at least a share of all.
func (p *posterior) atLeastForEither(is which, least float64, of func(s *sample) float64) Estimate {
	laws := p.either(is, least, of)
	if len(laws) < 2 {
		return p.atLeast(of)
	}
	low := math.Min(inOrder(laws[0], 0.05), inOrder(laws[1], 0.05))
	return Estimate{Value: math.Max(of(&p.best), low), Low: low, Bound: AtLeast}
}

// inOrder is the quantile of values in rising order.
func inOrder(v []weighted, share float64) float64 {
	for _, x := range v {
		if share -= x.weight; share <= 0 {
			return x.value
		}
	}
	return v[len(v)-1].value
}

// within is the share of the values between two ends.
func within(v []weighted, low, high float64) float64 {
	sum := 0.0
	for _, x := range v {
		if x.value >= low && x.value <= high {
			sum += x.weight
		}
	}
	return sum
}
