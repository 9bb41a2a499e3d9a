package learned

import (
	"math"

	"example.org/bobweight/advance/readings"
)

// model is a layout with unknowns. Those of its law come first: what springs and
// weights do. Then follow for all laws the logarithms of the travels, the timing at
// the stop for each clamp position, the logarithms of the tachometers' factors
// against the first, and the logarithm of the errors' size.
type model struct {
	*layout
	slack  []bool // which columns are slack at rest; nil where the law itself says
	prior  []prior
	stop0  int // first parameter of the travels
	top0   int // of the timings at the stop
	tach0  int // of the second tachometer
	other  int // of the difference of a run after a change, -1 for none
	size   int
	before float64    // logarithm of the model's own odds before any reading
	law    func() law // makes one with its own working memory
	first  func() [][]float64
	listed *listedModel // nil in a model learned without listed values
}

// law says how squared speed depends on advance.
type law interface {
	// lay makes ready for parameters; the other methods speak of those.
	lay(par []float64)
	// curve returns the squared engine speeds of a run's balance, never falling, at
	// advances in crank degrees from 0 to its stop.
	curve(w *wiring, falling bool) (angle, square []float64)
	// share, factor and drag are rows of a table at angles of 0 and more; drag is
	// nil where the shares hold it.
	share(column int, angles []float64) []float64
	factor(weights int, angles []float64) []float64
	drag(angles []float64) []float64
	takeUps() []float64 // crank degrees
}

// add appends a parameter.
func (m *model) add(p prior) int {
	m.prior = append(m.prior, p)
	return len(m.prior) - 1
}

// shared appends the parameters that all laws have.
func (m *model) shared() {
	m.stop0 = len(m.prior)
	for _, name := range m.stops {
		p := priorTravel
		if k, ok := m.set.Travels[name]; ok {
			p = prior{mean: math.Log(k.Value), sd: k.Sigma / k.Value}
		}
		m.add(p)
	}
	m.top0 = len(m.prior)
	for _, p := range m.statics {
		m.add(p) // of the static timing or of a turn, not of the timing at the stop
	}
	m.tach0 = len(m.prior)
	for range m.tachs[1:] {
		m.add(prior{mean: 0, sd: m.set.SigmaTachometer})
	}
	m.other = -1
	if m.differs {
		m.other = m.add(m.difference())
	}
	m.add(priorErrors)
	m.size = len(m.prior)
}

func (m *model) travel(stop int, par []float64) float64 { return math.Exp(par[m.stop0+stop]) }

// static is the static timing of a clamp position. It hangs on the timing at the
// stop, which readings mostly show better.
func (m *model) static(clamp int, par []float64) float64 {
	return par[m.top0+clamp] - m.travel(m.aligned[clamp], par)
}

// argument is what the prior of a parameter speaks of.
func (m *model) argument(j int, par []float64) float64 {
	if c := j - m.top0; c >= 0 && c < len(m.clamps) {
		at := m.static(c, par)
		if from := m.turned[c]; from >= 0 {
			at -= m.static(from, par)
		}
		return at
	}
	return par[j]
}

// moments returns the factors on the moments of a kind of spring and of the weights
// in a run after a change.
func (m *model) moments(w *wiring, par []float64) (spring, weights float64) {
	spring, weights = 1, 1
	if w.other.spring != "" {
		spring = math.Exp(par[m.other])
	}
	if w.other.weights {
		weights = math.Exp(par[m.other])
	}
	return spring, weights
}

// square is the square of a speed given as its logarithm.
func square(ln float64) float64 { return math.Exp(2 * ln) }

// invert returns the place on x at which the never falling v reaches y.
func invert(x, v []float64, y float64) float64 {
	at, _ := invertFrom(x, v, y, below(v, y))
	return at
}

// below returns the last node with v under y, -1 where there is none.
func below(v []float64, y float64) int {
	lo, hi := -1, len(v)
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if v[mid] < y {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// invertFrom is invert where node lo, -1 for before the first, is known to lie under
// y. It walks on from there and returns where it ended: good for rising y.
func invertFrom(x, v []float64, y float64, lo int) (float64, int) {
	for lo+1 < len(v) && v[lo+1] < y {
		lo++
	}
	switch {
	case lo < 0:
		return x[0], lo
	case lo+1 == len(v):
		return x[lo], lo
	}
	return x[lo] + (x[lo+1]-x[lo])*(y-v[lo])/(v[lo+1]-v[lo]), lo
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
func (m *model) predict(l law, par, mean, variance []float64) {
	l.lay(par)
	for i := range m.runs {
		w := &m.runs[i]
		static := m.static(w.clamp, par)
		f := 1.0
		if w.tac > 0 {
			f = math.Exp(-par[m.tach0+w.tac-1])
		}
		if w.other.tachometer {
			f *= math.Exp(-par[m.other] / 2) // squared speeds differ by the factor
		}
		for dir, any := range w.directions {
			if !any {
				continue
			}
			falling := dir == 1
			x, v := l.curve(w, falling)
			for j := w.from; j < w.to; j++ {
				o := &m.obs[j]
				if o.falling != falling {
					continue
				}
				var s, ss float64
				lo := -2
				for q, e := range hermiteAt {
					n := (o.rpm + e*o.sigmaRPM) * f
					if n < 0 {
						n = 0
					}
					if lo < -1 {
						lo = below(v, n*n)
					}
					var a float64
					a, lo = invertFrom(x, v, n*n, lo)
					s += hermiteWeight[q] * a
					ss += hermiteWeight[q] * a * a
				}
				mean[j], variance[j] = static+s, max(0, ss-s*s)
			}
		}
	}
}

// known returns a fact about a label, nil where there is none.
func known(facts map[string]readings.Known, label string) *readings.Known {
	if k, ok := facts[label]; ok {
		return &k
	}
	return nil
}
