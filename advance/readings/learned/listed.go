package learned

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// ListedSpring is a kind of spring as a list, a tester or a calliper gives it, with
// standard errors. A zero error takes the default. The errors are tolerances to start
// from, not limits: a listed value may be wrong altogether, and the readings may say
// so.
type ListedSpring struct {
	Law          springs.Spring
	RateSigma    float64 // of the rate, as a fraction: 0.05
	LengthSigma  float64 // of the free length, m: 0.0003
	TensionSigma float64 // of the initial tension, N: 0.1
}

// ListedWeights is a set of weights as measured.
type ListedWeights struct {
	Weights   []flyweights.Weight
	MassSigma float64 // standard error of the masses, as a fraction: 0.02
}

// Listed is a mechanism as far as it was measured and listed.
type Listed struct {
	// Mechanism gives the linkage, the places of the springs by the anchors of its
	// springs, drag and friction. The springs' laws and the weights are replaced. Stop
	// is the largest swing that the hardware allows without its stop, rad. Drag and
	// friction of 0 are taken as unknown.
	Mechanism flyweights.Mechanism
	Drive     advance.Drive // 0 means [advance.FourStroke]
	Springs   map[string]ListedSpring
	Weights   map[string]ListedWeights
}

// Drag of the points and friction of the pivots where nothing is given, N m, with the
// standard error of their logarithm: orders of magnitude, no source.
const (
	usualDrag     = 1e-3
	usualFriction = 1.5e-4
	dragSpread    = 0.8
)

func (l Listed) resolved(runs []Run) (Listed, error) {
	if l.Drive == 0 {
		l.Drive = advance.FourStroke
	}
	if err := l.Drive.Check(); err != nil {
		return l, fmt.Errorf("learned: %w", err)
	}
	l.Springs, l.Weights = maps.Clone(l.Springs), maps.Clone(l.Weights)
	for _, name := range slices.Sorted(maps.Keys(l.Springs)) {
		s := l.Springs[name]
		if name == "" {
			return l, fmt.Errorf("%w: a listed spring has no name, valid is one", errRange)
		}
		if err := s.Law.Check(); err != nil {
			return l, fmt.Errorf("learned: spring %q: %w", name, err)
		}
		s.RateSigma, s.LengthSigma, s.TensionSigma = cmp.Or(s.RateSigma, 0.05), cmp.Or(s.LengthSigma, 0.0003), cmp.Or(s.TensionSigma, 0.1)
		err := valid.Check(errRange,
			valid.Above("relative error of the rate of spring "+name, s.RateSigma, "", 0, 1),
			valid.Above("error of the length of spring "+name, s.LengthSigma, "m", 0, 0.01),
			valid.Above("error of the initial tension of spring "+name, s.TensionSigma, "N", 0, 100))
		if err != nil {
			return l, err
		}
		l.Springs[name] = s
	}
	for _, name := range slices.Sorted(maps.Keys(l.Weights)) {
		w := l.Weights[name]
		w.MassSigma = cmp.Or(w.MassSigma, 0.02)
		if err := valid.Check(errRange, valid.Above("relative error of the mass of weights "+name, w.MassSigma, "", 0, 1)); err != nil {
			return l, err
		}
		l.Weights[name] = w
	}
	for i := range runs {
		r := &runs[i]
		if len(r.Springs) != len(l.Mechanism.Springs) {
			return l, fmt.Errorf("%w: %s has %d places for springs, valid is the mechanism's %d", errRange, r.label(i), len(r.Springs), len(l.Mechanism.Springs))
		}
		for _, kind := range r.Springs {
			if _, ok := l.Springs[kind]; !ok && kind != "" {
				return l, fmt.Errorf("%w: %s has a spring %q, valid is a listed one", errRange, r.label(i), kind)
			}
		}
		if _, ok := l.Weights[r.Weights]; !ok {
			return l, fmt.Errorf("%w: %s has weights %q, valid is a listed set", errRange, r.label(i), r.Weights)
		}
	}
	return l, nil
}

// listedSteps is the number of steps in which a mechanism is laid out. Straight lines
// between them leave the springs' lengths within 1e-7 m.
const listedSteps = 64

// mechanism is a listed mechanism laid out over the swing, in numbers that do not
// depend on any unknown.
type mechanism struct {
	listed  *Listed
	kinds   []string
	angle   []float64   // crank degrees at each node, rising
	steep   []float64   // dtheta/dphi
	length  [][]float64 // m, by place
	lever   [][]float64 // dL/dphi, m, by place
	moments [][]float64 // of each set of weights in the layout's order, kg m^2
	unit    float64     // rpm^2 of the engine for 1 (rad/s)^2 of the shaft
}

func newMechanism(l *Listed, weights []string) (*mechanism, error) {
	m := &mechanism{listed: l, kinds: slices.Sorted(maps.Keys(l.Springs))}
	rpm := l.Drive.RPM(1)
	m.unit = rpm * rpm
	trial := l.Mechanism
	trial.Springs = slices.Clone(trial.Springs)
	// A law that pulls with 1 N at any length gives the lever.
	for i := range trial.Springs {
		trial.Springs[i].Law = springs.Spring{Rate: 1e-9, FreeLength: 1e-6, InitialTension: 1}
	}
	for _, name := range weights {
		trial.Weights = l.Weights[name].Weights
		if err := trial.Check(); err != nil {
			return nil, fmt.Errorf("learned: mechanism with weights %q: %w", name, err)
		}
	}
	m.length, m.lever = make([][]float64, len(trial.Springs)), make([][]float64, len(trial.Springs))
	m.moments = make([][]float64, len(weights))
	for j := range listedSteps + 1 {
		phi := trial.Stop * float64(j) / listedSteps
		theta, d1, _ := trial.Linkage.Cam(phi)
		m.angle = append(m.angle, l.Drive.CrankDegrees(theta))
		m.steep = append(m.steep, d1)
		for i := range trial.Springs {
			m.length[i] = append(m.length[i], trial.SpringLength(i, phi))
			m.lever[i] = append(m.lever[i], trial.SpringMoment(i, phi))
		}
		for k, name := range weights {
			trial.Weights = l.Weights[name].Weights
			sum := 0.0
			for i := range trial.Weights {
				sum += trial.WeightMoment(i, phi)
			}
			m.moments[k] = append(m.moments[k], sum)
		}
	}
	m.angle[0] = 0
	return m, nil
}

// position is a place between nodes; after says on which side of a tension's jump
// there of one spring, -1 for none.
type position struct {
	j     int
	part  float64
	place int
	after bool
}

func (p *position) of(v []float64) float64 {
	if p.part == 0 {
		return v[p.j]
	}
	return v[p.j] + p.part*(v[p.j+1]-v[p.j])
}

// positions lists the nodes with the take-ups of the springs fitted, each twice.
func (m *mechanism) positions(dst []position, laws []*springs.Spring) []position {
	dst = dst[:0]
	for j := range m.angle {
		dst = append(dst, position{j: j, place: -1})
	}
	for i, law := range laws {
		if law == nil {
			continue
		}
		at, l := law.TakeUp(), m.length[i]
		for j := 1; j < len(l); j++ {
			if l[j-1] <= at && l[j] > at {
				p := position{j: j - 1, part: (at - l[j-1]) / (l[j] - l[j-1]), place: i}
				k := slices.IndexFunc(dst, func(q position) bool {
					return float64(q.j)+q.part > float64(p.j)+p.part
				})
				q := p
				q.after = true
				dst = slices.Insert(dst, k, p, q)
				break
			}
		}
	}
	return dst
}

// moment is that of the spring at a place, N m.
func (m *mechanism) moment(law *springs.Spring, place int, p *position) float64 {
	x := p.of(m.length[place]) - law.TakeUp()
	if p.place == place {
		x = 0
		if !p.after {
			return 0
		}
	} else if x <= 0 {
		return 0
	}
	return (law.InitialTension + law.Rate*x) * p.of(m.lever[place])
}
