package learned

import (
	"math"
	"slices"
)

// model is a layout with a choice, for each column, between a plain and a slack
// share. Its parameters, in order: for each column the logarithms of the speeds of
// rest and span and the bend, with two more where slack; the logarithms of the
// weights' factors with their slopes; of the travels; the timing at the stop for
// each clamp position; the logarithms of the tachometers' factors; of the speeds of
// drag and of hysteresis; last the logarithm of the errors' size.
type model struct {
	*layout
	slack []bool
	prior []normal
	kinds []int // first parameter of each column
	ratio []int // first parameter of each set of weights, -1 for the reference
	slope []int // -1 where there is none
	stop0 int
	top0  int
	tach0 int // parameter of the second tachometer
	dragP int
	fallP int
	size  int
}

// normal is a prior.
type normal struct{ mean, sd float64 }

// Priors. Speeds are those of a whole set of springs with the reference weights,
// engine rpm; they are wide enough for any road engine's distributor. The bend must
// stay as wide: its sign depends on the linkage.
var (
	priorRest   = normal{math.Log(1150), 0.5}
	priorSpan   = normal{math.Log(2600), 0.5}
	priorBend   = normal{0, 0.8}
	priorLoose  = normal{math.Log(200), 0.7} // drag and friction while a spring is slack
	priorTakeUp = normal{0, 1.3}             // logit of the part of the travel
	priorJump   = normal{math.Log(700), 0.8} // initial tension of a close-wound spring
	priorRatio  = normal{0, 0.3}
	priorSlope  = normal{0, 0.2}
	priorTravel = normal{math.Log(24), 0.5}
	priorStatic = normal{10, 15}
	priorBench  = normal{0, 90} // a distributor machine's zero stands anywhere
	priorDrag   = normal{math.Log(150), 0.7}
	priorFall   = normal{math.Log(200), 0.8}
	priorErrors = normal{0, 0.15}
)

// pins is the relative error with which the moments of two sets of weights follow
// their masses: pins, bushes and hooks are weighed or left out with them.
const pins = 0.01

func newModel(l *layout, slack []bool) *model {
	m := &model{layout: l, slack: slack, dragP: -1, fallP: -1}
	add := func(p normal) int {
		m.prior = append(m.prior, p)
		return len(m.prior) - 1
	}
	for k := range l.columns {
		rest := priorRest
		if slack[k] {
			rest = priorLoose
		}
		m.kinds = append(m.kinds, add(rest))
		add(priorSpan)
		add(priorBend)
		if slack[k] {
			add(priorTakeUp)
			add(priorJump)
		}
	}
	for i, name := range l.weights {
		m.ratio, m.slope = append(m.ratio, -1), append(m.slope, -1)
		if i == 0 {
			continue
		}
		m.ratio[i] = add(l.weighed(i))
		if l.set.Masses[name].OtherShape || l.set.Masses[l.weights[0]].OtherShape {
			m.slope[i] = add(priorSlope)
		}
	}
	for i, name := range l.stops {
		p := priorTravel
		if k := known(l.set.Travels, name); k != nil {
			p = normal{math.Log(k.Value), k.Sigma / k.Value}
		}
		if at := add(p); i == 0 {
			m.stop0 = at
		}
	}
	for i := range l.clamps {
		if at := add(normal{math.NaN(), math.NaN()}); i == 0 { // its prior is on the static timing
			m.top0 = at
		}
	}
	m.tach0 = len(m.prior)
	for range l.tachs[1:] {
		add(normal{0, l.set.SigmaTachometer})
	}
	if l.drag {
		m.dragP = add(priorDrag)
	}
	if l.falls {
		m.fallP = add(priorFall)
	}
	add(priorErrors)
	m.size = len(m.prior)
	return m
}

// weighed is the prior of the logarithm of a set of weights' factor.
func (l *layout) weighed(i int) normal {
	a, oka := l.set.Masses[l.weights[i]]
	b, okb := l.set.Masses[l.weights[0]]
	if !oka || !okb {
		return priorRatio
	}
	return normal{math.Log(a.Value / b.Value), math.Hypot(pins, math.Hypot(a.Sigma/a.Value, b.Sigma/b.Value))}
}

// cells is the number of steps in which a run's curve is laid out from rest to its
// stop. Straight lines between them leave the cubic part of a share, 0.02 crank
// degree at the most.
const cells = 32

// bench holds the memory of one evaluation of a model.
type bench struct {
	shapes []shape
	stops  []grid
	square []float64 // squared speeds of the run at hand
}

// grid is the nodes of a stop and each column's share there.
type grid struct {
	x      []float64 // part of the reference travel; a take-up stands twice
	shares [][]float64
}

func (m *model) newBench() *bench {
	b := &bench{shapes: make([]shape, len(m.columns)), stops: make([]grid, len(m.stops))}
	for i := range b.stops {
		b.stops[i].shares = make([][]float64, len(m.columns))
	}
	return b
}

func square(ln float64) float64 { return math.Exp(2 * ln) }

// shape reads a column's share from the parameters.
func (m *model) shape(k int, par []float64) shape {
	p := par[m.kinds[k]:]
	s := shape{rest: square(p[0]), span: square(p[1]), bend: p[2], slack: m.slack[k]}
	if s.slack {
		s.takeUp = 0.02 + 0.96/(1+math.Exp(-p[3]))
		s.span *= 1 - s.takeUp
		s.jump = square(p[4])
	}
	return s
}

func (m *model) travel(stop int, par []float64) float64 { return math.Exp(par[m.stop0+stop]) }

// clampStop is the stop by which a clamp position is aligned: that of its first run.
func (m *model) clampStop(clamp int) int {
	for i := range m.runs {
		if m.runs[i].clamp == clamp {
			return m.runs[i].stop
		}
	}
	return 0
}

func (m *model) static(clamp int, par []float64) float64 {
	return par[m.top0+clamp] - m.travel(m.clampStop(clamp), par)
}

// factor is the moment of a set of weights against that of the reference.
func (m *model) factor(weights int, x float64, par []float64) float64 {
	if m.ratio[weights] < 0 {
		return 1
	}
	ln := par[m.ratio[weights]]
	if j := m.slope[weights]; j >= 0 {
		ln += par[j] * (x - 0.5)
	}
	return math.Exp(ln)
}

// lay fills the grids for a set of parameters.
func (m *model) lay(b *bench, par []float64) {
	for k := range m.columns {
		b.shapes[k] = m.shape(k, par)
	}
	for i := range b.stops {
		g := &b.stops[i]
		last := m.travel(i, par) / m.travel(0, par)
		g.x = g.x[:0]
		for j := range cells + 1 {
			g.x = append(g.x, last*float64(j)/cells)
		}
		for k := range b.shapes {
			if t := b.shapes[k].takeUp; b.shapes[k].slack && t < last {
				j, _ := slices.BinarySearch(g.x, t)
				g.x = slices.Insert(g.x, j, t, t)
			}
		}
		for k := range b.shapes {
			s := &b.shapes[k]
			v := g.shares[k][:0]
			for j, x := range g.x {
				v = append(v, s.at(x, j > 0 && g.x[j-1] == x))
			}
			g.shares[k] = v
		}
	}
}

// curve fills b.square with the squared speeds of a run at the nodes of its stop,
// never falling, and returns the nodes.
func (m *model) curve(b *bench, w *wiring, par []float64) []float64 {
	g := &b.stops[w.stop]
	b.square = b.square[:0]
	base := 0.0
	if m.dragP >= 0 {
		base = square(par[m.dragP])
	}
	plain := m.slope[w.weights] < 0
	r := 1 / m.factor(w.weights, 0, par)
	most := 0.0
	for j, x := range g.x {
		sum := 0.0
		for k, n := range w.counts {
			if n != 0 {
				sum += n * g.shares[k][j]
			}
		}
		if !plain {
			r = 1 / m.factor(w.weights, x, par)
		}
		most = math.Max(most, (sum/float64(m.places)+base)*r)
		b.square = append(b.square, most)
	}
	return g.x
}

// invert returns the place on x at which the never falling v reaches y.
func invert(x, v []float64, y float64) float64 {
	last := len(v) - 1
	if y <= v[0] {
		return x[0]
	}
	if y >= v[last] {
		return x[last]
	}
	lo, hi := 0, last // v[lo] < y < v[hi] or equal at hi
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if v[mid] < y {
			lo = mid
		} else {
			hi = mid
		}
	}
	d := v[hi] - v[lo]
	if d <= 0 {
		return x[hi]
	}
	return x[lo] + (x[hi]-x[lo])*(y-v[lo])/d
}

// Gauss and Hermite's rule with five points for the mean over a normal error
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 1964, table 25.10,
// with the standard deviation as unit).
var (
	hermiteAt     = [5]float64{-2.8569700138728056, -1.3556261799742659, 0, 1.3556261799742659, 2.8569700138728056}
	hermiteWeight = [5]float64{0.011257411327720689, 0.22207592200561266, 0.53333333333333333, 0.22207592200561266, 0.011257411327720689}
)

// predict writes for each reading the expected timing and the variance that the
// tachometer's error adds, crank degrees. Averaging over the speed's error keeps the
// corners at start, take-up and stop differentiable.
func (m *model) predict(b *bench, par, mean, variance []float64) {
	m.lay(b, par)
	t0 := m.travel(0, par)
	fall := 0.0
	if m.fallP >= 0 {
		fall = square(par[m.fallP])
	}
	for i := range m.runs {
		w := &m.runs[i]
		x := m.curve(b, w, par)
		static := m.static(w.clamp, par)
		f := 1.0
		if w.tac > 0 {
			f = math.Exp(-par[m.tach0+w.tac-1])
		}
		for j := w.from; j < w.to; j++ {
			o := &m.obs[j]
			add := 0.0
			if o.falling {
				add = fall
			}
			var s, ss float64
			for q, e := range hermiteAt {
				n := math.Max(0, (o.rpm+e*o.sigmaRPM)*f)
				a := invert(x, b.square, n*n+add)
				s += hermiteWeight[q] * a
				ss += hermiteWeight[q] * a * a
			}
			mean[j] = static + t0*s
			variance[j] = t0 * t0 * math.Max(0, ss-s*s)
		}
	}
}
