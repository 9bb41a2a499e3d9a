package readings

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// Model says which curve was fitted.
//
// In a [Candidate] StartSeen and AllInSeen say what the candidate assumes. In a
// [Result] they say what is certain: the 95 % interval has both its ends. A curve
// with a visible start may be the better one by the criterion and still not
// certain enough to give static timing a lower end.
type Model struct {
	Slopes    int  // ramps between the plateaus: 0 (a level line), 1 or 2
	StartSeen bool // the plateau below the start is among the readings
	AllInSeen bool // the plateau above all-in is among the readings
}

// String returns the model in words.
func (m Model) String() string {
	seen := func(ok bool, what string) string {
		if ok {
			return what + " seen"
		}
		return what + " not seen"
	}
	switch m.Slopes {
	case 0:
		return "level line"
	case 1:
		return "one slope, " + seen(m.StartSeen, "start") + ", " + seen(m.AllInSeen, "all-in")
	}
	return "two slopes, " + seen(m.StartSeen, "start") + ", " + seen(m.AllInSeen, "all-in")
}

// Candidate is one line of the table from which the model was chosen.
type Candidate struct {
	Model      Model
	Parameters int     // free parameters counted by the criterion
	Deviance   float64 // minus twice the log likelihood, against a perfect fit
	Criterion  float64 // Deviance + Parameters ln(readings), the smaller the better
	Chosen     bool
}

// family is a fitter among those compared, with the criterion's charge for its
// parameters.
type family struct {
	*fitter
	charge float64
}

// ensemble is the chosen family with the others that explain the readings nearly
// as well. An interval covers what any of them allows: the profile is that of
// the least criterion over all families.
type ensemble struct {
	*fitter           // the chosen family
	families []family // all, the best first
	level    float64  // the least criterion
	criteria []Candidate
	// both and single are the rises of the criterion at the ends of an interval and
	// at a limit on one side.
	both, single float64
	size         float64 // of the errors found, against those stated
}

// choose fits all families and finds the one with the least criterion.
func choose(ctx context.Context, runs []Run, data [][]observed, s *Settings) (*ensemble, error) {
	total := 0
	for i := range data {
		total += len(data[i])
	}
	bend := 0.0
	if s.Shape == Balance {
		bend = s.Bend.Value
	}
	gs := make([][]guess, len(data))
	for i := range data {
		gs[i] = guesses(data[i], s.Shape, math.Exp(bend))
	}
	flat := newFitter(0, runs, data, s)
	if err := flat.fitLevel(); err != nil {
		return nil, err
	}
	fitters := []*fitter{flat}
	one := newFitter(1, runs, data, s)
	if err := one.fitOne(gs, bend); err != nil {
		return nil, err
	}
	if one.best != nil {
		fitters = append(fitters, one)
	}
	if s.MaxSlopes > 1 && one.best != nil && total >= 7 {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("readings: choosing a model: %w", err)
		}
		two := newFitter(2, runs, data, s)
		if err := two.fitTwo(one); err != nil {
			return nil, err
		}
		fitters = append(fitters, two)
	}
	e := &ensemble{level: math.Inf(1)}
	for _, f := range fitters {
		f.prune()
		charge := float64(f.counted()) * math.Log(float64(total))
		e.families = append(e.families, family{f, charge})
		rows, err := f.candidates(total)
		if err != nil {
			return nil, err
		}
		e.criteria = append(e.criteria, rows...)
		if c := f.deviance + charge; c < e.level {
			e.level, e.fitter = c, f
		}
	}
	slices.SortStableFunc(e.families, func(a, b family) int {
		return cmp.Compare(a.deviance+a.charge, b.deviance+b.charge)
	})
	least := slices.MinFunc(e.criteria, func(a, b Candidate) int { return cmp.Compare(a.Criterion, b.Criterion) })
	for k := range e.criteria {
		e.criteria[k].Chosen = e.criteria[k] == least
	}
	sum, good := e.scatter()
	e.both, e.single, e.size = allowed(sum, good, e.counted())
	return e, nil
}

// priorErrors is how many readings' worth of trust the stated standard errors
// have against those that the readings themselves show.
const priorErrors = 10

// allowed returns the rises of minus twice the log likelihood at the ends of a
// 95 % interval and at a one-sided 95 % limit, and the size of the errors against
// those stated. It allows for standard errors that are stated, not known: with a
// scaled inverse chi-squared prior of priorErrors degrees of freedom about them the
// likelihood ratio follows Student's law (Gelman and others, Bayesian Data Analysis,
// third edition 2014, section 14.2 with the prior of section 2.6), so that a rise is
// the square of that law's quantile times the variance found. sum is that of the
// squared standardised errors of good readings, parameters what was fitted to them.
//
// Each end of an interval may be wrong in 2.5 of 100 cases, a limit alone in 5.
// Where a curve without a visible start is allowed, the static timing may be as low
// as one likes at no cost: the likelihood ratio is zero on that half of the cases
// and chi-squared on the other, so that its 95 % point is the squared 95 % quantile
// (Chernoff, On the distribution of the likelihood ratio, Annals of Mathematical
// Statistics 25, 1954, pp. 573-578; Self and Liang, Journal of the American
// Statistical Association 82, 1987, pp. 605-610, case 5).
func allowed(sum, good float64, parameters int) (both, single, size float64) {
	freedom := priorErrors + math.Max(good-float64(parameters), 0)
	variance := (priorErrors + sum) / freedom
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: freedom}
	p, q := t.Quantile(0.975), t.Quantile(0.95)
	return variance * p * p, variance * q * q, math.Sqrt(variance)
}

// scatter returns the sum of the squared standardised errors of the readings,
// each counted by how probably it is good, and the sum of those probabilities.
func (f *fitter) scatter() (sum, good float64) {
	var dm, ds gradient
	for i := range f.runs {
		c := f.curve(f.best, &f.runs[i].at)
		for _, o := range f.runs[i].obs {
			m, slope := c.expected(o.rpm, o.sigmaRPM, o.falling, &dm, &ds)
			z := (o.deg - m) / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
			p := 1 - outlier(z, f.outliers)
			sum += p * z * z
			good += p
		}
	}
	return sum, good
}

// counted is the number of parameters that the criterion counts. The bends are
// not counted: their priors, not the readings, hold them.
func (f *fitter) counted() int {
	count := 0
	for j := range f.params {
		if !f.isBend(j) {
			count++
		}
	}
	return count
}

// fitLevel fits one level per run, from the first, a middle and the last reading.
func (f *fitter) fitLevel() error {
	for part := range 3 {
		x := make([]float64, f.params)
		for i := range f.runs {
			obs := f.runs[i].obs
			x[f.runs[i].at[roleStatic]] = obs[part*(len(obs)-1)/2].deg
		}
		d, err := f.minimise(x, false)
		if err != nil {
			return err
		}
		f.offer(x, d)
	}
	return nil
}

// fitOne fits a single ramp from the guesses.
func (f *fitter) fitOne(gs [][]guess, bend float64) error {
	for k := range trialKept {
		take := make([]guess, len(gs))
		for i := range gs {
			switch {
			case len(gs[i]) > 0:
				take[i] = gs[i][min(k, len(gs[i])-1)]
			case len(gs[0]) > 0:
				take[i] = gs[0][min(k, len(gs[0])-1)]
			default:
				return nil
			}
		}
		for donor := range gs {
			if len(gs[donor]) == 0 {
				continue
			}
			x := f.vector(take, donor, bend)
			d, err := f.minimise(x, false)
			if err != nil {
				return err
			}
			f.offer(x, d)
		}
	}
	return f.polish()
}

// fitTwo fits two ramps from the best single one.
func (f *fitter) fitTwo(one *fitter) error {
	starts := f.split(one)
	m, _ := f.Size()
	r := make([]float64, m)
	loss := make(map[*float64]float64, len(starts))
	for _, x := range starts {
		f.Evaluate(x, r, nil)
		sum := 0.0
		for _, v := range r {
			sum += v * v
		}
		loss[&x[0]] = sum
	}
	slices.SortStableFunc(starts, func(a, b []float64) int { return cmp.Compare(loss[&a[0]], loss[&b[0]]) })
	for _, x := range starts[:5] {
		d, err := f.minimise(x, false)
		if err != nil {
			return err
		}
		f.offer(x, d)
	}
	return f.polish()
}

func (f *fitter) polish() error {
	x := slices.Clone(f.best)
	d, err := f.minimise(x, true)
	if err != nil {
		return err
	}
	f.offer(x, d)
	return nil
}

// candidates returns the criterion of a family's free fit and of its fits
// without a visible start or stop.
func (f *fitter) candidates(readings int) ([]Candidate, error) {
	row := func(m Model, fewer int, d float64) Candidate {
		p := f.counted() - fewer
		return Candidate{Model: m, Parameters: p, Deviance: d, Criterion: d + float64(p)*math.Log(float64(readings))}
	}
	if f.slopes == 0 {
		return []Candidate{row(Model{}, 0, f.deviance)}, nil
	}
	out := []Candidate{row(Model{f.slopes, true, true}, 0, f.deviance)}
	if len(f.runs) > 1 || f.elsewhere[0] {
		return out, nil
	}
	for _, seen := range [][2]bool{{false, true}, {true, false}, {false, false}} {
		d, err := f.without(0, !seen[0], !seen[1])
		if err != nil {
			return nil, err
		}
		fewer := 0
		for _, ok := range seen {
			if !ok {
				fewer++
			}
		}
		out = append(out, row(Model{f.slopes, seen[0], seen[1]}, fewer, d))
	}
	return out, nil
}

func (f *fitter) isBend(j int) bool {
	for i := range f.runs {
		if f.runs[i].at[roleBend1] == j || f.runs[i].at[roleBend2] == j {
			return true
		}
	}
	return false
}

// unseen is a start, a stop or both that no reading of a run shows.
type unseen struct {
	run         int
	start, stop bool
}

// without returns the deviance of the best fit of run i with its start held just
// below the readings, its stop just above, or both. It is asked twice, for the table
// of criteria and for the bounds.
func (f *fitter) without(i int, start, stop bool) (float64, error) {
	what := unseen{i, start, stop}
	if d, ok := f.unseen[what]; ok {
		return d, nil
	}
	d, err := f.hide(what)
	if err == nil {
		if f.unseen == nil {
			f.unseen = map[unseen]float64{}
		}
		f.unseen[what] = d
	}
	return d, err
}

func (f *fitter) hide(u unseen) (float64, error) {
	at := f.runs[u.run].at
	x := slices.Clone(f.best)
	low, high := f.low, f.high
	defer func() { f.low, f.high = low, high }()
	f.low, f.high = slices.Clone(low), slices.Clone(high)
	if u.start {
		j := at[roleStart]
		x[j] = math.Max(low[j], 1)
		f.high[j] = math.Max(low[j], math.Min(f.span[u.run][0], high[j]))
	}
	if u.stop {
		j := at[roleAllIn]
		x[j] = high[j]
		f.low[j] = math.Min(high[j], math.Max(f.span[u.run][1], low[j]))
	}
	return f.minimise(x, false)
}
