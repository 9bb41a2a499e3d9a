package learned

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/readings"
)

// Share is what one spring at a place adds to the squared engine speed at which the
// mechanism balances, over mechanical advance, with the reference weights. Shares
// add:
//
//	n^2(angle) = [sum of the springs' Squares + the table's Drag] / the weights' Values
//
// It is the moment of the spring over that of the weights, in the units of a light
// and a tachometer.
type Share struct {
	Spring string
	Place  int // index of the place, or -1 where all places are alike
	// Squares are in rpm^2 of the engine, one for each of the table's Angles.
	Squares []float64
	// Draws are equally likely sets of Squares, first index the draw. Draw i of every
	// share, factor and travel of a table belong together.
	Draws [][]float64
}

// Factor is the moment of a set of weights over that of the reference weights.
type Factor struct {
	Weights string
	Values  []float64   // one for each of the table's Angles
	Draws   [][]float64 // first index the draw
}

// Travel is the full mechanical advance that a stop leaves, crank degrees.
type Travel struct {
	Stop  string
	Value float64
	Draws []float64
}

// Static is the timing with the weights at rest in a position of the clamp, crank
// degrees.
type Static struct {
	Runs  []int // the runs that were read in it
	Value float64
	Draws []float64
}

// Estimate returns the middle of the draws with the 95 % interval, at half travel.
func (f *Factor) Estimate() readings.Estimate {
	v := make([]float64, len(f.Draws))
	for i, row := range f.Draws {
		v[i] = row[len(row)/2]
	}
	return middle(v)
}

// Estimate returns the middle of the draws with the 95 % interval.
func (t *Travel) Estimate() readings.Estimate { return middle(slices.Clone(t.Draws)) }

// Estimate returns the middle of the draws with the 95 % interval.
func (s *Static) Estimate() readings.Estimate { return middle(slices.Clone(s.Draws)) }

// Table holds the learned parts in a form that adds and divides, for prediction and
// for a search over combinations. Angles are crank degrees of mechanical advance,
// from 0, never falling; where a spring is taken up an angle stands twice, before
// and after the jump.
type Table struct {
	Angles  []float64
	Shares  []Share
	Drag    Share // rpm^2 that is there with any springs; empty where it lies within the shares
	Factors []Factor
	Travels []Travel
	Statics []Static
}

// combined is a combination's parts in a table.
type combined struct {
	shares []*Share
	factor *Factor
	travel *Travel
}

// find looks the parts of a combination up.
func (t *Table) find(c Combination) (combined, error) {
	var out combined
	if err := c.check(); err != nil {
		return out, err
	}
	for place, kind := range c.Springs {
		if kind == "" {
			continue
		}
		i := slices.IndexFunc(t.Shares, func(s Share) bool {
			return s.Spring == kind && (s.Place == anyPlace || s.Place == place)
		})
		if i < 0 {
			return out, fmt.Errorf("%w: spring %q was in no run at place %d: fit it and take readings", ErrUndetermined, kind, place+1)
		}
		out.shares = append(out.shares, &t.Shares[i])
	}
	i := slices.IndexFunc(t.Factors, func(f Factor) bool { return f.Weights == c.Weights })
	if i < 0 {
		return out, fmt.Errorf("%w: weights %q were in no run: fit them and take readings", ErrUndetermined, c.Weights)
	}
	out.factor = &t.Factors[i]
	i = slices.IndexFunc(t.Travels, func(v Travel) bool { return v.Stop == c.Stop })
	if i < 0 {
		return out, fmt.Errorf("%w: stop %q was in no run: take readings up to it or measure its travel", ErrUndetermined, c.Stop)
	}
	out.travel = &t.Travels[i]
	return out, nil
}

// squares adds up one draw, or the best values for draw -1, into v, never falling.
func (t *Table) squares(v []float64, c *combined, draw int) []float64 {
	v = v[:0]
	of := func(values []float64, draws [][]float64) []float64 {
		if draw < 0 {
			return values
		}
		return draws[draw]
	}
	if len(t.Drag.Squares) > 0 {
		v = append(v, of(t.Drag.Squares, t.Drag.Draws)...)
	} else {
		v = append(v, make([]float64, len(t.Angles))...)
	}
	for _, s := range c.shares {
		for j, x := range of(s.Squares, s.Draws) {
			v[j] += x
		}
	}
	most := 0.0
	for j, f := range of(c.factor.Values, c.factor.Draws) {
		most = math.Max(most, v[j]/f)
		v[j] = most
	}
	return v
}

// newTable lays the draws out. best is the most probable point of the most probable
// model.
func newTable(best *mode, draws []drawn) Table {
	m := best.m
	var t Table
	travels := make([]float64, 0, len(draws)*len(m.stops))
	for i, name := range m.stops {
		v := Travel{Stop: name, Value: m.travel(i, best.par)}
		for _, d := range draws {
			v.Draws = append(v.Draws, d.m.travel(i, d.par))
		}
		travels = append(travels, v.Draws...)
		t.Travels = append(t.Travels, v)
	}
	for i := range m.clamps {
		s := Static{Value: m.static(i, best.par)}
		for k := range m.runs {
			if m.runs[k].clamp == i {
				s.Runs = append(s.Runs, k)
			}
		}
		for _, d := range draws {
			s.Draws = append(s.Draws, d.m.static(i, d.par))
		}
		t.Statics = append(t.Statics, s)
	}
	slices.Sort(travels)
	top := travels[len(travels)*99/100]
	for _, v := range t.Travels {
		top = math.Max(top, v.Value)
	}
	t.Angles = angles(math.Min(top, mostAngle))
	central := m.law()
	central.lay(best.par)
	jumps := central.takeUps()
	slices.Sort(jumps)
	for _, at := range slices.Compact(jumps) {
		if at <= 0 || at >= t.Angles[len(t.Angles)-1] {
			continue
		}
		j, found := slices.BinarySearch(t.Angles, at)
		if !found {
			t.Angles = slices.Insert(t.Angles, j, at)
		}
		t.Angles = slices.Insert(t.Angles, j, at)
	}
	for k, c := range m.columns {
		t.Shares = append(t.Shares, Share{Spring: c.kind, Place: c.place, Squares: central.share(k, t.Angles)})
	}
	for i, name := range m.weights {
		t.Factors = append(t.Factors, Factor{Weights: name, Values: central.factor(i, t.Angles)})
	}
	if row := central.drag(t.Angles); row != nil {
		t.Drag = Share{Place: anyPlace, Squares: row}
	}
	laws := map[*model]law{}
	for _, d := range draws {
		l, ok := laws[d.m]
		if !ok {
			l = d.m.law()
			laws[d.m] = l
		}
		l.lay(d.par)
		for k := range t.Shares {
			t.Shares[k].Draws = append(t.Shares[k].Draws, l.share(k, t.Angles))
		}
		for i := range t.Factors {
			t.Factors[i].Draws = append(t.Factors[i].Draws, l.factor(i, t.Angles))
		}
		if row := l.drag(t.Angles); row != nil {
			t.Drag.Draws = append(t.Drag.Draws, row)
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
func middle(v []float64) readings.Estimate {
	if len(v) < 2 {
		return readings.Estimate{Bound: readings.Unknown}
	}
	slices.Sort(v)
	at := func(p float64) float64 {
		x := p * float64(len(v)-1)
		i := min(int(x), len(v)-2)
		return v[i] + (x-float64(i))*(v[i+1]-v[i])
	}
	return readings.Estimate{Value: at(0.5), Low: at(0.025), High: at(0.975)}
}
