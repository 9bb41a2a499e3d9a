package readings

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/springs/leastsquares"
	"gonum.org/v1/gonum/mat"
)

// maxParams is the most parameters of a joint fit: every run with a full set.
const maxParams = MaxRuns * int(roles)

// twoSided is the square of the normal law's two-sided 95 % point, the chi-squared
// point with one degree of freedom.
const twoSided = 3.841459

// fitter holds one family of models (a number of ramps) over all runs, with the
// best parameters found.
type fitter struct {
	likelihood
	low, high []float64 // box of the parameters
	best      []float64
	deviance  float64
	modes     []mode
	elsewhere []bool       // per run: facts or other runs speak about what its own readings do not show
	span      [][2]float64 // per run: least and greatest speed of the readings that speak about its springs
	work      leastsquares.Work
	walk      [3][]float64 // working memory of a profile
	pinning   pin
	unseen    map[unseen]float64 // what without has found
}

// Fit finds the curve that made the readings of one run, with 95 % intervals. The
// readings need not be sorted. Nil settings mean the defaults.
//
// It refuses readings outside their ranges, fewer than three with the hose off,
// readings at one speed and more than [MaxReadings], with errors that wrap
// [ErrRange]; it returns the context's error if that ends first.
func Fit(ctx context.Context, rs []Reading, s *Settings) (*Result, error) {
	results, err := FitRuns(ctx, []Run{{Readings: rs}}, s)
	if err != nil {
		return nil, err
	}
	return results[0], nil
}

// FitRuns fits several runs together, which share what [Run.Shares] says with the
// first, and returns one result per run. What one run shows then helps the
// others: the static timing seen with strong springs holds for light springs in
// the same, untouched distributor. Refusals are those of [Fit]; a run after the
// first that shares something may be as short as one reading.
func FitRuns(ctx context.Context, runs []Run, s *Settings) ([]*Result, error) {
	set, err := s.resolved()
	if err != nil {
		return nil, err
	}
	if err := checkRuns(runs, &set); err != nil {
		return nil, err
	}
	data := make([][]observed, len(runs))
	places := make([][]int, len(runs))
	for i := range runs {
		data[i], places[i] = observations(&runs[i], &set)
	}
	best, err := choose(ctx, runs, data, &set)
	if err != nil {
		return nil, err
	}
	results := make([]*Result, len(runs))
	for i := range runs {
		if err := ctx.Err(); err != nil {
			return nil, fmt.Errorf("readings: fit of %s: %w", runs[i].label(i), err)
		}
		results[i] = best.result(i, &runs[i], places[i], &set)
	}
	return results, nil
}

// newFitter lays out the parameters of all runs for a number of ramps.
func newFitter(slopes int, runs []Run, data [][]observed, s *Settings) *fitter {
	f := &fitter{likelihood: likelihood{shape: s.Shape, slopes: slopes, outliers: s.Outliers}}
	add := func(low, high float64) int {
		f.low = append(f.low, low)
		f.high = append(f.high, high)
		f.params++
		return f.params - 1
	}
	inf := math.Inf(1)
	for i := range runs {
		run := series{obs: data[i]}
		first := i == 0
		old := func(bit Shared, r role) (int, bool) {
			if first || runs[i].Shares&bit == 0 {
				return -1, false
			}
			return f.runs[0].at[r], true
		}
		place := func(bit Shared, r role, low, high float64) {
			at, ok := old(bit, r)
			if !ok {
				at = add(low, high)
			}
			run.at[r] = at
		}
		for r := range run.at {
			run.at[r] = -1
		}
		place(ShareStatic, roleStatic, -inf, inf)
		if slopes > 0 {
			place(ShareTravel, roleTravel, 0, maxDegrees)
			place(ShareSprings, roleStart, 0, inf)
			if slopes > 1 {
				place(ShareSprings, rolePart, 0.02, 0.98)
				place(ShareSprings, roleKnee, 0, inf)
			}
			place(ShareSprings, roleAllIn, 0, inf)
			if s.Shape == Balance {
				place(ShareSprings, roleBend1, -4, 4)
				if slopes > 1 {
					place(ShareSprings, roleBend2, -4, 4)
				}
			}
			if bothWays(data, runs, i) {
				place(ShareSprings, roleHysteresis, 0, 2000)
			}
		}
		f.runs = append(f.runs, run)
	}
	f.addPriors(s)
	f.setBox(s)
	return f
}

// bothWays reports whether run i, or one that shares its springs, has readings
// in both directions.
func bothWays(data [][]observed, runs []Run, i int) bool {
	own := func(k int) bool { return k == 0 || runs[k].Shares&ShareSprings != 0 }
	rising, falling := false, false
	for k := range data {
		if k != i && !(own(k) && own(i)) {
			continue
		}
		for _, o := range data[k] {
			rising = rising || !o.falling
			falling = falling || o.falling
		}
	}
	return rising && falling
}

// A spring that joins at a knee adds its rate to that of the others, so that the
// curve over the squared speed bends down there: its slope after the knee is free
// between leastJoin times the one before and the same. How far it may stray from
// there is joinSpread, in its logarithm: as much as bend that is not the springs'.
// A spring more than seven times as strong as the first is a stop rather than a
// spring (common practice, no source).
const (
	leastJoin  = 1.0 / 8
	joinSpread = 0.35
)

// addPriors states the priors of the bends and the knees, and the known facts.
func (f *fitter) addPriors(s *Settings) {
	add := func(q figure, value, sigma, slack float64) {
		f.priors = append(f.priors, pin{q, value, sigma, slack})
	}
	if s.KnownStatic != nil {
		add(figure{kind: kindStatic}, s.KnownStatic.Value, s.KnownStatic.Sigma, 0)
	}
	if f.slopes == 0 {
		return
	}
	if s.KnownTravel != nil {
		add(figure{kind: kindTravel}, s.KnownTravel.Value, s.KnownTravel.Sigma, 0)
	}
	// The bend of the whole is the product of the bends of its parts.
	parts := float64(f.slopes)
	seen := map[int]bool{}
	for i := range f.runs {
		for k, r := range [...]role{roleBend1, roleBend2} {
			if at := f.runs[i].at[r]; at >= 0 && !seen[at] {
				seen[at] = true
				add(figure{kind: kindBend1 + kind(k), run: i}, s.Bend.Value/parts, s.Bend.Sigma/math.Sqrt(parts), 0)
				if r == roleBend2 {
					half := -math.Log(leastJoin) / 2
					add(figure{kind: kindJoin, run: i}, -half, joinSpread, half)
				}
			}
		}
	}
}

// beyond is how far past the outermost readings, in standard errors of the
// speed, the ends of the ramps may lie where nothing else tells: an end there
// cannot be told from one still further out.
const beyond = 2

// setBox bounds the speeds of the ramps' ends by the readings that speak about
// them, so that the parameters stay determined when a start or stop is not seen.
func (f *fitter) setBox(s *Settings) {
	f.span = make([][2]float64, len(f.runs))
	f.elsewhere = make([]bool, len(f.runs))
	for i := range f.runs {
		at := f.runs[i].at
		low, high := math.Inf(1), math.Inf(-1)
		for k := range f.runs {
			if k != i && (f.slopes == 0 || f.runs[k].at[roleStart] != at[roleStart]) {
				if f.slopes > 0 && (f.runs[k].at[roleStatic] == at[roleStatic] || f.runs[k].at[roleTravel] == at[roleTravel]) {
					f.elsewhere[i] = true
				}
				continue
			}
			for _, o := range f.runs[k].obs {
				low, high = math.Min(low, o.rpm), math.Max(high, o.rpm)
			}
		}
		f.span[i] = [2]float64{low, high}
		first := f.runs[0].at
		if s.KnownStatic != nil && at[roleStatic] == first[roleStatic] ||
			s.KnownTravel != nil && at[roleTravel] == first[roleTravel] {
			f.elsewhere[i] = true
		}
		if f.slopes == 0 {
			continue
		}
		low, high = low-beyond*s.SigmaRPM, high+beyond*s.SigmaRPM
		if f.elsewhere[i] {
			low, high = low/8, high*3
		}
		low = math.Max(low, 1)
		for _, r := range []role{roleStart, roleKnee, roleAllIn} {
			if at[r] >= 0 {
				f.low[at[r]], f.high[at[r]] = low, high
			}
		}
	}
}

// minimise runs the fitting core from x and returns the deviance.
func (f *fitter) minimise(x []float64, precise bool) (float64, error) {
	set := leastsquares.Settings{Low: f.low, High: f.high, StepTol: 1e-5, ValueTol: 1e-5, MaxSteps: 100}
	if precise {
		set.StepTol, set.ValueTol, set.MaxSteps = 1e-9, 1e-7, 200
	}
	set.Keep = f.order
	f.clip(x)
	f.order(x)
	rep, err := leastsquares.Minimize(f, x, &set, &f.work)
	return rep.Sum, err
}

// offer keeps x as the best parameters if its deviance is the lowest so far, and
// in any case as one of the places where the deviance is least nearby.
func (f *fitter) offer(x []float64, deviance float64) {
	f.modes = append(f.modes, mode{x: slices.Clone(x), deviance: deviance})
	if f.best == nil || deviance < f.deviance {
		f.best = append(f.best[:0], x...)
		f.deviance = deviance
	}
}

// mode is a local minimum of the deviance.
type mode struct {
	x          []float64
	deviance   float64
	covariance []float64 // of the parameters in the linear model, row by row; nil if they are not determined
}

// clip moves x into the box.
func (f *fitter) clip(x []float64) {
	for j := range x {
		x[j] = math.Min(math.Max(x[j], f.low[j]), f.high[j])
	}
}

// order keeps the ends of ramps narrowest apart and in their order: where they
// crossed, the derivatives by one of them would vanish.
func (f *fitter) order(x []float64) {
	for i := range f.runs {
		last := -1
		for _, r := range [...]role{roleStart, roleKnee, roleAllIn} {
			j := f.runs[i].at[r]
			if j < 0 {
				continue
			}
			if last >= 0 && x[j] < x[last]+narrowest {
				x[j] = x[last] + narrowest
				if x[j] > f.high[j] {
					x[j] = f.high[j]
					x[last] = math.Max(x[j]-narrowest, f.low[last])
				}
			}
			last = j
		}
	}
}

// keptModes is the most local minima that a profile starts from.
const keptModes = 3

// prune sorts the local minima and drops those that are the same or cannot
// matter.
func (f *fitter) prune() {
	slices.SortStableFunc(f.modes, func(a, b mode) int { return cmp.Compare(a.deviance, b.deviance) })
	var kept []mode
	for _, m := range f.modes {
		same := func(o mode) bool { return f.same(m.x, o.x) }
		if len(kept) < keptModes && m.deviance < f.deviance+3*twoSided && !slices.ContainsFunc(kept, same) {
			kept = append(kept, m)
		}
	}
	f.modes = kept
	for k := range f.modes {
		f.modes[k].covariance = f.covariance(f.modes[k].x)
	}
}

// covariance is that of the parameters at x in the linear model, the inverse of
// half the second derivatives of the deviance.
func (f *fitter) covariance(x []float64) []float64 {
	m, n := f.Size()
	r, jac := make([]float64, m), make([]float64, m*n)
	f.Evaluate(x, r, jac)
	information := mat.NewSymDense(n, nil)
	information.SymOuterK(1, mat.NewDense(m, n, jac).T())
	var c mat.Cholesky
	if !c.Factorize(information) || !(c.Cond() < 1e12) {
		return nil
	}
	var inverse mat.SymDense
	if err := c.InverseTo(&inverse); err != nil {
		return nil
	}
	out := make([]float64, 0, n*n)
	for i := range n {
		for j := range n {
			out = append(out, inverse.At(i, j))
		}
	}
	return out
}

// same reports whether two parameter vectors are the same curve as far as a
// timing light can tell.
func (f *fitter) same(x, y []float64) bool {
	tolerance := layout{roleStatic: 1, roleTravel: 1, roleStart: 150, roleKnee: 150, roleAllIn: 150, roleHysteresis: 100}
	for i := range f.runs {
		for r, j := range f.runs[i].at {
			if tol := tolerance[r]; j >= 0 && tol > 0 && math.Abs(x[j]-y[j]) > float64(tol) {
				return false
			}
		}
	}
	return true
}
