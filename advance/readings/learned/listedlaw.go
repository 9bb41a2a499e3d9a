package learned

import (
	"math"
	"slices"

	"example.org/bobweight/springs"
)

// listedModel says where a listed mechanism's unknowns stand. For each kind of spring
// they are the logarithm of the rate over the listed one and the free length and
// initial tension off the listed ones in standard errors; for each set of weights the
// logarithm of the mass over the listed one; then the logarithms of drag and friction
// over those expected, and where all tachometers are doubted, that of their factor.
type listedModel struct {
	*model
	mech     *mechanism
	kinds    []int // first parameter of each kind
	masses   []int // parameter of each set of weights
	dragP    int   // friction follows
	allTachs int   // -1 where there is none
}

// doubt names what a model lets go of. With the zero value every listed value is
// believed with heavy tails.
type doubt struct {
	one                   bool // all but one part are as listed, with normal errors
	spring, preload, mass int  // index of the part let go of, -1 for none
	tach                  bool
	// believed, where it is not nil, says which kinds of spring are as listed, with normal
	// errors: those that a verdict holds against the list alone.
	believed func(kind string) bool
}

var noDoubt = doubt{spring: -1, preload: -1, mass: -1}

// Priors of the one part that is let go of.
const (
	anyFactor = 0.4    // standard error of a logarithm
	anyLength = 0.0015 // m
)

func newListedModel(l *layout, mech *mechanism, d doubt) *model {
	m := &model{layout: l}
	f := &listedModel{model: m, mech: mech, allTachs: -1}
	listed := func(sd float64) prior {
		if d.one {
			return prior{sd: sd}
		}
		return prior{sd: sd, wide: max(anyFactor, 2*sd)}
	}
	for k, name := range mech.kinds {
		s := mech.listed.Springs[name]
		rate, length := listed(s.RateSigma), prior{sd: 1}
		switch {
		case d.spring == k:
			rate = prior{sd: anyFactor}
		case d.believed != nil && d.believed(name):
			rate.wide = 0
		}
		if d.preload == k {
			length = prior{sd: anyLength / s.LengthSigma}
		}
		f.kinds = append(f.kinds, m.add(rate))
		m.add(length)
		m.add(prior{sd: 1})
	}
	for k, name := range l.weights {
		p := listed(mech.listed.Weights[name].MassSigma)
		if d.mass == k {
			p = prior{sd: anyFactor}
		}
		f.masses = append(f.masses, m.add(p))
	}
	f.dragP = m.add(prior{sd: dragSpread})
	m.add(prior{sd: dragSpread})
	if d.tach {
		f.allTachs = m.add(prior{sd: anyFactor / 2}) // squared speeds count
	}
	m.shared()
	m.law = func() law { return &listedLaw{listedModel: f, laws: make([]springs.Spring, len(mech.kinds))} }
	m.first = func() [][]float64 { return f.starts(d) }
	m.listed = f
	return m
}

// starts are the listed values, and each value that may be far off moved both ways.
func (f *listedModel) starts(d doubt) [][]float64 {
	base := make([]float64, f.size)
	for j, p := range f.prior {
		base[j] = p.mean
	}
	f.guessShared(base)
	out := [][]float64{base}
	move := func(j int) {
		for _, by := range [2]float64{-0.4, 0.4} {
			par := slices.Clone(base)
			par[j] += by
			out = append(out, par)
		}
	}
	for k, p := range f.kinds {
		if f.fitted(k) && (!d.one || d.spring == k) {
			move(p)
		}
	}
	return out
}

// fitted reports whether some run has a kind of spring.
func (f *listedModel) fitted(kind int) bool {
	for _, w := range f.runs {
		if slices.Contains(w.springs, f.mech.kinds[kind]) {
			return true
		}
	}
	return false
}

// listedLaw is the moment balance of the mechanism.
type listedLaw struct {
	*listedModel
	par      []float64
	laws     []springs.Spring // of each kind, with the parameters
	mass     []float64
	drag0    float64
	friction float64
	factor0  float64 // on squared speeds, of doubted tachometers
	at       []*springs.Spring
	nodes    []position
	angle    []float64
	square   []float64
}

func (l *listedLaw) lay(par []float64) {
	m := l.mech
	l.par = par
	for k, name := range m.kinds {
		s, p := m.listed.Springs[name], par[l.kinds[k]:]
		law := s.Law
		law.Rate *= math.Exp(p[0])
		law.FreeLength += p[1] * s.LengthSigma
		law.InitialTension = max(0, law.InitialTension+p[2]*s.TensionSigma)
		l.laws[k] = law
	}
	l.mass = l.mass[:0]
	for _, p := range l.masses {
		l.mass = append(l.mass, math.Exp(par[p]))
	}
	usual := func(v, std float64) float64 {
		if v == 0 {
			return std
		}
		return v
	}
	l.drag0 = usual(m.listed.Mechanism.Drag, usualDrag) * math.Exp(par[l.dragP])
	l.friction = usual(m.listed.Mechanism.Friction.Moment, usualFriction) * math.Exp(par[l.dragP+1])
	l.factor0 = 1
	if l.allTachs >= 0 {
		l.factor0 = math.Exp(2 * par[l.allTachs])
	}
}

// kind is the index of a kind of spring, -1 for none.
func (m *mechanism) kind(name string) int { return slices.Index(m.kinds, name) }

func (l *listedLaw) curve(w *wiring, falling bool) (angle, squares []float64) {
	m := l.mech
	l.at = l.at[:0]
	for _, name := range w.springs {
		if k := m.kind(name); k >= 0 {
			l.at = append(l.at, &l.laws[k])
		} else {
			l.at = append(l.at, nil)
		}
	}
	l.nodes = m.positions(l.nodes, l.at)
	grip, friction := m.listed.Mechanism.Friction.Proportion, l.friction
	if falling {
		grip, friction = -grip, -friction
	}
	spring, weights := l.moments(w, l.par)
	stop := l.travel(w.stop, l.par)
	l.angle, l.square = l.angle[:0], l.square[:0]
	most := math.Inf(-1)
	for i := range l.nodes {
		p := &l.nodes[i]
		sum := l.drag0*p.of(m.steep) + friction
		for place, law := range l.at {
			if law != nil {
				moment := m.moment(law, place, p)
				if w.springs[place] == w.other.spring {
					moment *= spring
				}
				sum += moment + grip*math.Abs(moment)
			}
		}
		u := m.unit * l.factor0 * sum / (p.of(m.moments[w.weights]) * l.mass[w.weights] * weights)
		a := p.of(m.angle)
		if n := len(l.angle); a > stop && n > 0 { // the stop cuts the curve here
			if last := l.angle[n-1]; last < stop {
				u = l.square[n-1] + (u-l.square[n-1])*(stop-last)/(a-last)
				l.angle, l.square = append(l.angle, stop), append(l.square, max(most, u))
			}
			break
		}
		most = max(most, u)
		l.angle, l.square = append(l.angle, a), append(l.square, most)
	}
	return l.angle, l.square
}

// tabulate writes a row at angles, of a quantity at positions.
func (l *listedLaw) tabulate(angles []float64, at []*springs.Spring, of func(p *position) float64) []float64 {
	m := l.mech
	l.nodes = m.positions(l.nodes, at)
	x, y := make([]float64, len(l.nodes)), make([]float64, len(l.nodes))
	for i := range l.nodes {
		x[i], y[i] = l.nodes[i].of(m.angle), of(&l.nodes[i])
	}
	out := make([]float64, len(angles))
	j := 0
	for i, a := range angles {
		for j < len(x)-1 && (x[j] < a || i > 0 && angles[i-1] == a && x[j+1] == x[j]) {
			j++
		}
		switch {
		case j == 0 || x[j] <= a || x[j] == x[j-1]:
			out[i] = y[j]
		default:
			out[i] = y[j-1] + (y[j]-y[j-1])*(a-x[j-1])/(x[j]-x[j-1])
		}
	}
	return out
}

func (l *listedLaw) share(k int, angles []float64) []float64 {
	m := l.mech
	c := l.columns[k]
	at := make([]*springs.Spring, len(m.length))
	at[c.place] = &l.laws[m.kind(c.kind)]
	grip := m.listed.Mechanism.Friction.Proportion
	return l.tabulate(angles, at, func(p *position) float64 {
		moment := m.moment(at[c.place], c.place, p)
		return m.unit * l.factor0 * (moment + grip*math.Abs(moment)) / (p.of(m.moments[0]) * l.mass[0])
	})
}

func (l *listedLaw) factor(i int, angles []float64) []float64 {
	m := l.mech
	return l.tabulate(angles, nil, func(p *position) float64 {
		return p.of(m.moments[i]) * l.mass[i] / (p.of(m.moments[0]) * l.mass[0])
	})
}

func (l *listedLaw) drag(angles []float64) []float64 {
	m := l.mech
	return l.tabulate(angles, nil, func(p *position) float64 {
		return m.unit * l.factor0 * (l.drag0*p.of(m.steep) + l.friction) / (p.of(m.moments[0]) * l.mass[0])
	})
}

func (l *listedLaw) takeUps() []float64 {
	var out []float64
	for k := range l.laws {
		at := make([]*springs.Spring, len(l.mech.length))
		for place := range at {
			clear(at)
			at[place] = &l.laws[k]
			l.nodes = l.mech.positions(l.nodes, at)
			for i := range l.nodes {
				if p := &l.nodes[i]; p.after {
					out = append(out, p.of(l.mech.angle))
				}
			}
		}
	}
	return out
}
