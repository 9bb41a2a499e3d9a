package learned

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/springs/valid"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/workers"
)

// Part is a listed value beside what the readings say of it.
type Part struct {
	Name     string // such as "spring a" or "weights v"
	Quantity string // "rate", "preload at rest" or "mass"
	Unit     string
	Listed   float64
	// Learned is relative to the reference weights as listed: one factor on the speeds
	// or on all moments cannot be told from readings.
	Learned readings.Estimate
	Fitted  bool // some run has the part
}

// Suspect is a part, or a run, that would by itself explain readings that contradict
// the list or one another.
type Suspect struct {
	Part string
	// Factor is what the listed rate, preload length or mass would have to be
	// multiplied by; for a tachometer, what the speeds it shows have to be.
	Factor readings.Estimate
	// Evidence is the logarithm of the probability of the readings with this part free
	// and all others as listed, less that with all as listed.
	Evidence float64
}

// Limits of evidence, in log units. Where all parts are as listed within their errors,
// one list in fifty is contradicted (simulated; see package simulated).
const (
	contradicts = 1 // a part is named from here on
	rivals      = 2 // parts this near to each other cannot be told apart
)

// FitListed joins runs with what is measured and listed of the mechanism. The listed
// values are believed within their errors, with tails so heavy that readings can
// overrule them. The result predicts with every listed part, fitted or not.
//
// It refuses what [Fit] refuses, and parts in the runs that are not listed.
func FitListed(ctx context.Context, runs []Run, listed Listed, s *Settings) (*Result, error) {
	set, err := s.resolved()
	if err != nil {
		return nil, err
	}
	l, mech, err := listedLayout(runs, listed, &set)
	if err != nil {
		return nil, err
	}
	modes := modesOf(newListedModel(l, mech, noDoubt))
	if len(modes) == 0 {
		return nil, fmt.Errorf("%w: the listed mechanism cannot be fitted to the runs, valid are parts near to those fitted", errRange)
	}
	r := &Result{runs: cloned(runs), layout: l, modes: modes, mech: mech}
	draws, err := r.draw(ctx)
	if err != nil {
		return nil, err
	}
	r.lay(draws)
	r.Parts = r.compare(draws)
	alone, err := eachAlone(ctx, l, mech)
	if err != nil {
		return nil, err
	}
	r.Suspects = suspectsOf(l, alone)
	r.noteList(alone)
	return r, nil
}

func listedLayout(runs []Run, listed Listed, set *Settings) (*layout, *mechanism, error) {
	set.PlacesDiffer = true // each place has its own geometry
	l, err := newLayout(runs, set)
	if err != nil {
		return nil, nil, err
	}
	if listed, err = listed.resolved(runs); err != nil {
		return nil, nil, err
	}
	for name := range listed.Weights {
		if !slices.Contains(l.weights, name) {
			l.weights = append(l.weights, name)
		}
	}
	slices.Sort(l.weights[1:])
	for i := range runs {
		l.runs[i].weights = slices.Index(l.weights, runs[i].Weights)
	}
	for _, name := range l.weights {
		if _, ok := listed.Weights[name]; !ok {
			return nil, nil, fmt.Errorf("%w: weights %q were put on the scale, valid is a listed set", errRange, name)
		}
	}
	mech, err := newMechanism(&listed, l.weights)
	if err != nil {
		return nil, nil, err
	}
	l.columns = nil
	for _, kind := range mech.kinds {
		for p := range l.places {
			l.columns = append(l.columns, column{kind, p})
		}
	}
	l.apart = true
	return l, mech, nil
}

// modesOf returns the distinct modes of a model within keepWithin of the best, best
// first.
func modesOf(m *model) []*mode {
	t := newTarget(m)
	var all []*mode
	for _, s := range m.first() {
		d, err := climb(t, s)
		if err != nil || !valid.Finite(d.posterior) || !d.measure(t) {
			continue
		}
		if !slices.ContainsFunc(all, func(o *mode) bool { return o.same(d) }) {
			all = append(all, d)
		}
	}
	return likely(all)
}

// same reports whether two modes of a model are one, within a third of a standard
// error in every parameter.
func (d *mode) same(o *mode) bool {
	for j := range d.par {
		if math.Abs(d.par[j]-o.par[j]) > d.sd(j)/3 {
			return false
		}
	}
	return true
}

// sd is the standard error of a parameter.
func (d *mode) sd(j int) float64 {
	sum := 0.0
	for k := range j + 1 {
		sum += d.root[j*d.m.size+k] * d.root[j*d.m.size+k]
	}
	return math.Sqrt(sum)
}

// compare puts the listed values beside the learned ones.
func (r *Result) compare(draws []drawn) []Part {
	f := r.modes[0].m.listed
	reference := f.masses[0]
	var out []Part
	ratio := func(listed float64, j int, less int) readings.Estimate {
		v := make([]float64, len(draws))
		for i, d := range draws {
			v[i] = listed * math.Exp(d.par[j]-d.par[less])
		}
		e := middle(v)
		e.Value = listed * math.Exp(r.modes[0].par[j]-r.modes[0].par[less])
		return e
	}
	for k, name := range r.mech.kinds {
		s := r.mech.listed.Springs[name]
		p := f.kinds[k]
		out = append(out, Part{Name: "spring " + name, Quantity: "rate", Unit: "N/m", Listed: s.Law.Rate, Learned: ratio(s.Law.Rate, p, reference), Fitted: f.fitted(k)})
		if at := r.mech.length[0][0]; s.Law.TakeUp() < at {
			v := make([]float64, len(draws))
			for i, d := range draws {
				l := &listedLaw{listedModel: f, laws: make([]springs.Spring, len(r.mech.kinds))}
				l.lay(d.par)
				v[i] = l.laws[k].Tension(at) * math.Exp(-d.par[reference])
			}
			out = append(out, Part{Name: "spring " + name, Quantity: "preload at rest", Unit: "N", Listed: s.Law.Tension(at), Learned: middle(v), Fitted: f.fitted(k)})
		}
	}
	for k, name := range f.weights {
		if k == 0 {
			continue
		}
		total := 0.0
		for _, w := range r.mech.listed.Weights[name].Weights {
			total += w.Mass
		}
		out = append(out, Part{Name: "weights " + name, Quantity: "mass", Unit: "kg", Listed: total, Learned: ratio(total, f.masses[k], reference),
			Fitted: slices.ContainsFunc(r.runs, func(x Run) bool { return x.Weights == name })})
	}
	return out
}

// trial is one part let go of.
type trial struct {
	part string
	d    doubt
	par  func(f *listedModel) int
	per  float64 // natural logarithm per unit of the parameter
}

// eachAlone lets go of one part after the other, all others as listed, and says what each
// would have to be, the one that explains the readings best first.
func eachAlone(ctx context.Context, l *layout, mech *mechanism) ([]Suspect, error) {
	exact := noDoubt
	exact.one = true
	trials := []trial{{d: exact}}
	f := newListedModel(l, mech, noDoubt).listed
	for k, name := range mech.kinds {
		if !f.fitted(k) {
			continue
		}
		d := exact
		d.spring = k
		trials = append(trials, trial{"spring " + name, d, func(f *listedModel) int { return f.kinds[k] }, 1})
	}
	for k, name := range l.weights {
		if !slices.ContainsFunc(l.runs, func(w wiring) bool { return w.weights == k }) {
			continue
		}
		d := exact
		d.mass = k
		part := "weights"
		if name != "" {
			part += " " + name
		}
		trials = append(trials, trial{part, d, func(f *listedModel) int { return f.masses[k] }, 1})
	}
	d := exact
	d.tach = true
	trials = append(trials, trial{"tachometer", d, func(f *listedModel) int { return f.allTachs }, 1})
	modes, err := workers.Map(ctx, workers.Pool{}, len(trials), func(i int) (*mode, error) {
		return together(modesOf(newListedModel(l, mech, trials[i].d))), nil
	})
	if err != nil {
		return nil, fmt.Errorf("learned: %w", err)
	}
	if modes[0] == nil {
		return nil, nil
	}
	var out []Suspect
	for i, t := range trials[1:] {
		m := modes[i+1]
		if m == nil {
			continue
		}
		j := t.par(m.m.listed)
		sd := m.sd(j)
		at := func(z float64) float64 { return math.Exp(t.per * (m.par[j] + z*sd)) }
		out = append(out, Suspect{t.part, readings.Estimate{Value: at(0), Low: at(-1.96), High: at(1.96)}, m.evidence - modes[0].evidence})
	}
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(b.Evidence, a.Evidence) })
	return out, nil
}

// suspectsOf keeps of the parts let go of by themselves those that contradict the list,
// with those that no reading tells from them.
func suspectsOf(l *layout, alone []Suspect) []Suspect {
	if len(alone) == 0 || alone[0].Evidence < contradicts {
		return nil
	}
	kept := nearBest(slices.Clone(alone))
	for _, s := range alone[len(kept):] { // sorted as kept is
		if slices.ContainsFunc(kept, func(k Suspect) bool { return alwaysTogether(l, s.Part, k.Part) }) {
			kept = append(kept, s)
		}
	}
	return kept
}

// inseparable groups the kinds of springs that stand in all runs in the same numbers: the
// readings hold the sum of their moments only, whatever the readings are.
func inseparable(l *layout, alone []Suspect) [][]Suspect {
	var out [][]Suspect
	for _, s := range alone {
		if !strings.HasPrefix(s.Part, "spring ") {
			continue
		}
		i := slices.IndexFunc(out, func(g []Suspect) bool { return alwaysTogether(l, g[0].Part, s.Part) })
		if i < 0 {
			out = append(out, []Suspect{s})
			continue
		}
		out[i] = append(out[i], s)
	}
	return slices.DeleteFunc(out, func(g []Suspect) bool { return len(g) < 2 })
}

// alwaysTogether reports whether two springs stand in the same runs in the same
// numbers, so that no reading parts them. Nor does one part a spring from weights or
// tachometer where all runs have the same springs.
func alwaysTogether(l *layout, a, b string) bool {
	a, okA := strings.CutPrefix(a, "spring ")
	b, okB := strings.CutPrefix(b, "spring ")
	switch {
	case okA && !okB:
		return !slices.ContainsFunc(l.runs, func(w wiring) bool { return !slices.Equal(w.springs, l.runs[0].springs) })
	case !okA:
		return false
	}
	for _, w := range l.runs {
		n := 0
		for _, s := range w.springs {
			if s == a {
				n++
			}
			if s == b {
				n--
			}
		}
		if n != 0 {
			return false
		}
	}
	return true
}
