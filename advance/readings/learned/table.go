package learned

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/readings"
)

// springShare is what one spring at a place adds to the squared engine speed at which the
// mechanism balances, over mechanical advance, with the reference weights. Shares
// add:
//
//	n^2(angle) = [sum of the springs' squares + the table's drag] / the weights' values
//
// It is the moment of the spring over that of the weights, in the units of a light
// and a tachometer.
type springShare struct {
	Spring string
	Place  int // index of the place, or -1 where all places are alike
	// squares are in rpm^2 of the engine, one for each of the table's angles.
	squares []float64
	// draws are equally likely sets of squares, first index the draw. Draw i of every
	// share, factor and travel of a table belong together.
	draws [][]float64
}

// weightFactor is the moment of a set of weights over that of the reference weights.
type weightFactor struct {
	Weights string
	values  []float64   // one for each of the table's angles
	draws   [][]float64 // first index the draw
}

// stopTravel is the full mechanical advance that a stop leaves, crank degrees.
type stopTravel struct {
	Stop  string
	Value float64
	draws []float64
}

// clampStatic is the timing with the weights at rest in a position of the clamp, crank
// degrees.
type clampStatic struct {
	Runs  []int // the runs that were read in it
	Value float64
	draws []float64
}

// table holds the learned parts in a form that adds and divides, for prediction and
// for a search over combinations. Its angles are crank degrees of mechanical advance,
// from 0, never falling; where a spring is taken up an angle stands twice, before
// and after the jump.
type table struct {
	angles  []float64
	shares  []springShare
	drag    springShare // rpm^2 that is there with any springs; empty where it lies within the shares
	factors []weightFactor
	travels []stopTravel
	statics []clampStatic
}

// combined is a combination's parts in a table.
type combined struct {
	shares []*springShare
	factor *weightFactor
	travel *stopTravel
}

// find looks the parts of a combination up.
func (t *table) find(c Combination) (combined, error) {
	var out combined
	if err := c.check(); err != nil {
		return out, err
	}
	for place, kind := range c.Springs {
		if kind == "" {
			continue
		}
		i := slices.IndexFunc(t.shares, func(s springShare) bool {
			return s.Spring == kind && (s.Place == anyPlace || s.Place == place)
		})
		if i < 0 {
			return out, fmt.Errorf("%w: spring %q was in no run at place %d: fit it and take readings", ErrUndetermined, kind, place+1)
		}
		out.shares = append(out.shares, &t.shares[i])
	}
	i := slices.IndexFunc(t.factors, func(f weightFactor) bool { return f.Weights == c.Weights })
	if i < 0 {
		return out, fmt.Errorf("%w: weights %q were in no run: fit them and take readings", ErrUndetermined, c.Weights)
	}
	out.factor = &t.factors[i]
	i = slices.IndexFunc(t.travels, func(v stopTravel) bool { return v.Stop == c.Stop })
	if i < 0 {
		return out, fmt.Errorf("%w: stop %q was in no run: take readings up to it or measure its travel", ErrUndetermined, c.Stop)
	}
	out.travel = &t.travels[i]
	return out, nil
}

// add adds up one draw, or the best values for draw -1, into v, never falling.
func (t *table) add(v []float64, c *combined, draw int) []float64 {
	v = v[:0]
	of := func(values []float64, draws [][]float64) []float64 {
		if draw < 0 {
			return values
		}
		return draws[draw]
	}
	if len(t.drag.squares) > 0 {
		v = append(v, of(t.drag.squares, t.drag.draws)...)
	} else {
		v = append(v, make([]float64, len(t.angles))...)
	}
	for _, s := range c.shares {
		for j, x := range of(s.squares, s.draws) {
			v[j] += x
		}
	}
	most := 0.0
	for j, f := range of(c.factor.values, c.factor.draws) {
		most = math.Max(most, v[j]/f)
		v[j] = most
	}
	return v
}

// estimates sums the draws up for a report: the static timing of each of so many runs,
// the travel by stop and the factor of the weights, at half travel, by name.
func (t *table) estimates(runs int) (statics []readings.Estimate, travels, factors map[string]readings.Estimate) {
	statics = make([]readings.Estimate, runs)
	for _, s := range t.statics {
		e := middle(slices.Clone(s.draws))
		for _, i := range s.Runs {
			statics[i] = e
		}
	}
	travels, factors = map[string]readings.Estimate{}, map[string]readings.Estimate{}
	for _, v := range t.travels {
		travels[v.Stop] = middle(slices.Clone(v.draws))
	}
	for _, f := range t.factors {
		v := make([]float64, len(f.draws))
		for i, row := range f.draws {
			v[i] = row[len(row)/2]
		}
		factors[f.Weights] = middle(v)
	}
	return statics, travels, factors
}

// newTable lays the draws out. best is the most probable point of the most probable
// model.
func newTable(best *mode, draws []drawn) table {
	m := best.m
	var t table
	travels := make([]float64, 0, len(draws)*len(m.stops))
	for i, name := range m.stops {
		v := stopTravel{Stop: name, Value: m.travel(i, best.par)}
		for _, d := range draws {
			v.draws = append(v.draws, d.m.travel(i, d.par))
		}
		travels = append(travels, v.draws...)
		t.travels = append(t.travels, v)
	}
	for i := range m.clamps {
		s := clampStatic{Value: m.static(i, best.par)}
		for k := range m.runs {
			if m.runs[k].clamp == i {
				s.Runs = append(s.Runs, k)
			}
		}
		for _, d := range draws {
			s.draws = append(s.draws, d.m.static(i, d.par))
		}
		t.statics = append(t.statics, s)
	}
	slices.Sort(travels)
	top := travels[len(travels)*99/100]
	for _, v := range t.travels {
		top = math.Max(top, v.Value)
	}
	t.angles = angles(math.Min(top, mostAngle))
	central := m.law()
	central.lay(best.par)
	jumps := central.takeUps()
	slices.Sort(jumps)
	for _, at := range slices.Compact(jumps) {
		if at <= 0 || at >= t.angles[len(t.angles)-1] {
			continue
		}
		j, found := slices.BinarySearch(t.angles, at)
		if !found {
			t.angles = slices.Insert(t.angles, j, at)
		}
		t.angles = slices.Insert(t.angles, j, at)
	}
	for k, c := range m.columns {
		t.shares = append(t.shares, springShare{Spring: c.kind, Place: c.place, squares: central.share(k, t.angles)})
	}
	for i, name := range m.weights {
		t.factors = append(t.factors, weightFactor{Weights: name, values: central.factor(i, t.angles)})
	}
	if row := central.drag(t.angles); row != nil {
		t.drag = springShare{Place: anyPlace, squares: row}
	}
	laws := map[*model]law{}
	for _, d := range draws {
		l, ok := laws[d.m]
		if !ok {
			l = d.m.law()
			laws[d.m] = l
		}
		l.lay(d.par)
		for k := range t.shares {
			t.shares[k].draws = append(t.shares[k].draws, l.share(k, t.angles))
		}
		for i := range t.factors {
			t.factors[i].draws = append(t.factors[i].draws, l.factor(i, t.angles))
		}
		if row := l.drag(t.angles); row != nil {
			t.drag.draws = append(t.drag.draws, row)
		}
	}
	return t
}

// mostAngle is the most advance that a table goes to, crank degrees.
const mostAngle = 90

// stepAngle is the table's step, crank degrees.
const stepAngle = 0.25

func angles(top float64) []float64 {
	n := int(math.Ceil(top/stepAngle)) + 1
	out := make([]float64, n+1)
	for i := range out {
		out[i] = float64(i) * stepAngle
	}
	return out
}

// middle returns the median of equally likely values with the 95 % interval. The
// values are sorted.
func middle(v []float64) readings.Estimate { return interval(v, tail) }

// tail is the share of values that an interval of 95 % leaves out at either end.
const tail = 0.025

// fromZero is middle for values that cannot be under 0, at which many may lie: advances
// of weights that may rest, or what is left to a stop that may be reached. An interval
// that begins at 0 leaves nothing out below, and what it may leave out is left out
// above: else it would hold up to 97.5 %. In between the tails change over, so that a
// band over the speed has no step.
func fromZero(v []float64) readings.Estimate {
	zeros := 0.0
	for _, x := range v {
		if x <= 0 {
			zeros++
		}
	}
	return interval(v, max(0, tail-zeros/float64(len(v))))
}

// interval returns the median of equally likely values with the interval that leaves this
// share out below, and above what 95 % leave. The values are sorted.
func interval(v []float64, below float64) readings.Estimate {
	if len(v) < 2 {
		return readings.Estimate{Bound: readings.Unknown}
	}
	slices.Sort(v)
	at := func(p float64) float64 {
		x := p * float64(len(v)-1)
		i := min(int(x), len(v)-2)
		return v[i] + (x-float64(i))*(v[i+1]-v[i])
	}
	return readings.Estimate{Value: at(0.5), Low: at(below), High: at(1 - 2*tail + below)}
}
