package learned

import (
	"math"
	"slices"
)

// family is the law learned without listed values: a share for each column, a factor
// for each set of weights.
type family struct {
	*model
	kinds []int // first parameter of each column
	ratio []int // parameter of each set of weights, -1 for the reference
	slope []int // -1 where there is none
	dragP int   // -1 where the shares hold the drag
	fallP int   // -1 where all readings were taken in one direction
}

// pins is the relative error with which the moments of two sets of weights follow
// their masses: pins, bushes and hooks are weighed or left out with them.
const pins = 0.01

// newFamily makes the model in which some columns are slack. Its own unknowns, in
// order: for each column the logarithms of the speeds of rest and span and the bend,
// with take-up and jump where slack; the logarithms of the weights' factors with
// their slopes; of the speeds of drag and hysteresis.
func newFamily(l *layout, slack []bool) *model {
	m := &model{layout: l, slack: slack, before: l.looseOdds(slack)}
	f := family{model: m, dragP: -1, fallP: -1}
	for k := range l.columns {
		rest := priorRest
		if slack[k] {
			rest = priorLoose
		}
		f.kinds = append(f.kinds, m.add(rest))
		m.add(priorSpan)
		m.add(priorBend)
		if slack[k] {
			m.add(priorTakeUp)
			m.add(priorJump)
		}
	}
	for i, name := range l.weights {
		f.ratio, f.slope = append(f.ratio, -1), append(f.slope, -1)
		if i == 0 {
			continue
		}
		f.ratio[i] = m.add(l.weighed(i))
		if l.set.Masses[name].OtherShape || l.set.Masses[l.weights[0]].OtherShape {
			f.slope[i] = m.add(priorSlope)
		}
	}
	if l.apart {
		f.dragP = m.add(priorDrag)
	}
	if l.falls {
		f.fallP = m.add(priorFall)
	}
	m.shared()
	m.law = func() law { return newShapes(&f) }
	m.first = f.starts
	return m
}

// looseRuns is the share of distributors that are read with nothing but slack springs in
// some run: the weights then hang loose at rest, and no engine idles steadily (common
// practice, no source).
const looseRuns = 0.05

// looseOdds is the logarithm of the odds of such a model before any reading.
func (l *layout) looseOdds(slack []bool) float64 {
	for _, w := range l.runs {
		tight := false
		for k, n := range w.counts {
			tight = tight || n > 0 && !slack[k]
		}
		if !tight {
			return math.Log(looseRuns)
		}
	}
	return 0
}

// weighed is the prior of the logarithm of a set of weights' factor.
func (l *layout) weighed(i int) prior {
	a, oka := l.set.Masses[l.weights[i]]
	b, okb := l.set.Masses[l.weights[0]]
	if !oka || !okb {
		return priorRatio
	}
	return prior{mean: math.Log(a.Value / b.Value), sd: math.Hypot(pins, math.Hypot(a.Sigma/a.Value, b.Sigma/b.Value))}
}

// cells is the number of steps in which a run's curve is laid out from rest to its
// stop. Straight lines between them leave the cubic part of a share, 0.02 crank
// degree at the most.
const cells = 32

// shapes is a family with parameters and memory.
type shapes struct {
	*family
	par    []float64
	shape  []shape
	stops  []grid
	angle  []float64 // the run's at hand
	square []float64
}

// grid is the nodes of a stop and each column's share there.
type grid struct {
	x      []float64 // part of the reference travel; a take-up stands twice
	shares [][]float64
}

func newShapes(f *family) *shapes {
	s := &shapes{family: f, shape: make([]shape, len(f.columns)), stops: make([]grid, len(f.model.stops))}
	for i := range s.stops {
		s.stops[i].shares = make([][]float64, len(f.columns))
	}
	return s
}

// read takes a column's share from the parameters.
func (s *shapes) read(k int) shape {
	p := s.par[s.kinds[k]:]
	out := shape{rest: square(p[0]), span: square(p[1]), bend: p[2], slack: s.slack[k]}
	if out.slack {
		out.takeUp = 0.02 + 0.96/(1+math.Exp(-p[3]))
		out.span *= 1 - out.takeUp
		out.jump = square(p[4])
	}
	return out
}

// ratioAt is the moment of a set of weights against that of the reference.
func (s *shapes) ratioAt(weights int, x float64) float64 {
	if s.ratio[weights] < 0 {
		return 1
	}
	ln := s.par[s.ratio[weights]]
	if j := s.slope[weights]; j >= 0 {
		ln += s.par[j] * (x - 0.5)
	}
	return math.Exp(ln)
}

func (s *shapes) lay(par []float64) {
	s.par = par
	for k := range s.shape {
		s.shape[k] = s.read(k)
	}
	for i := range s.stops {
		g := &s.stops[i]
		last := s.travel(i, par) / s.travel(0, par)
		g.x = g.x[:0]
		for j := range cells + 1 {
			g.x = append(g.x, last*float64(j)/cells)
		}
		for k := range s.shape {
			if t := s.shape[k].takeUp; s.shape[k].slack && t < last {
				j, _ := slices.BinarySearch(g.x, t)
				g.x = slices.Insert(g.x, j, t, t)
			}
		}
		for k := range s.shape {
			v := g.shares[k][:0]
			for j, x := range g.x {
				v = append(v, s.shape[k].at(x, j > 0 && g.x[j-1] == x))
			}
			g.shares[k] = v
		}
	}
}

func (s *shapes) curve(w *wiring, falling bool) (angle, squares []float64) {
	g := &s.stops[w.stop]
	s.angle, s.square = s.angle[:0], s.square[:0]
	base := 0.0
	if s.dragP >= 0 {
		base = square(s.par[s.dragP])
	}
	if falling && s.fallP >= 0 {
		base -= square(s.par[s.fallP])
	}
	t0 := s.travel(0, s.par)
	spring, weights := s.moments(w, s.par)
	plain := s.slope[w.weights] < 0
	r := 1 / (weights * s.ratioAt(w.weights, 0))
	most := math.Inf(-1)
	for j, x := range g.x {
		sum := 0.0
		for k, n := range w.counts {
			if n != 0 {
				v := n * g.shares[k][j]
				if s.columns[k].kind == w.other.spring {
					v *= spring
				}
				sum += v
			}
		}
		if !plain {
			r = 1 / (weights * s.ratioAt(w.weights, x))
		}
		most = max(most, (sum/float64(s.places)+base)*r)
		s.angle = append(s.angle, t0*x)
		s.square = append(s.square, most)
	}
	return s.angle, s.square
}

func (s *shapes) share(k int, angles []float64) []float64 {
	t0 := s.travel(0, s.par)
	v := make([]float64, len(angles))
	for j, a := range angles {
		v[j] = s.shape[k].at(a/t0, j > 0 && angles[j-1] == a) / float64(s.places)
	}
	return v
}

func (s *shapes) factor(i int, angles []float64) []float64 {
	t0 := s.travel(0, s.par)
	v := make([]float64, len(angles))
	for j, a := range angles {
		v[j] = s.ratioAt(i, a/t0)
	}
	return v
}

func (s *shapes) drag(angles []float64) []float64 {
	if s.dragP < 0 {
		return nil
	}
	return slices.Repeat([]float64{square(s.par[s.dragP])}, len(angles))
}

func (s *shapes) takeUps() []float64 {
	var out []float64
	for _, p := range s.shape {
		if p.slack {
			out = append(out, p.takeUp*s.travel(0, s.par))
		}
	}
	return out
}
