package learned

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/workers"
)

// drawn is one draw of the posterior: parameters of a model.
type drawn struct {
	m   *model
	par []float64
}

// kind says what was learned of a kind of spring.
type kind struct {
	spring string
	place  int     // anyPlace where all places are alike
	slack  float64 // probability of slack that is taken up on the way
}

// Result is what the runs teach. [Result.Predict] says how a combination would run,
// or which run would tell.
type Result struct {
	Statics []readings.Estimate          // static timing as each run was read, crank degrees
	Travels map[string]readings.Estimate // full advance by name of the stop, crank degrees
	// Factors are the moments of the sets of weights over that of the reference, by
	// name, at half travel.
	Factors map[string]readings.Estimate
	// Slack is the probability, by kind of spring, of slack that is taken up on the way:
	// the largest of its places. Nil from [FitListed], where the list says it.
	Slack map[string]float64
	// Suspects are what would each explain a contradiction alone: with [Fit] one of the
	// runs, by a factor on all its squared speeds, with [FitListed] one of the listed
	// parts. More than one: the readings do not tell which. None: nothing contradicts.
	Suspects []Suspect
	Parts    []Part   // from [FitListed]: the listed values beside the learned ones
	Notes    []string // sentences to print
	// Contradicts are sentences on what contradicts, with what to do; nil where nothing
	// does.
	Contradicts []string

	table  table
	kinds  []kind
	mech   *mechanism
	runs   []Run
	layout *layout
	modes  []*mode // models kept, the most probable first
	share  []float64
}

// Steps of each population of chains.
const (
	fewSteps   = 1000
	leastSteps = 400
	ridge      = 0.05 // relative error of the travel from which an end counts as unseen
	ridgeSteps = 3    // times the steps then
	keepWithin = 4    // models less probable than the best by more, in log units, are dropped
)

// Fit learns the parts from runs.
//
// It refuses settings and readings out of range, a run of fewer than three readings
// or with all of them at one speed, and runs with different numbers of places.
func Fit(ctx context.Context, runs []Run, s *Settings) (*Result, error) {
	set, err := s.resolved()
	if err != nil {
		return nil, err
	}
	l, err := newLayout(runs, &set)
	if err != nil {
		return nil, err
	}
	modes, err := choose(ctx, l)
	if err != nil {
		return nil, err
	}
	r := &Result{runs: cloned(runs), layout: l, modes: modes}
	draws, err := r.draw(ctx)
	if err != nil {
		return nil, err
	}
	r.lay(draws)
	r.Slack = map[string]float64{}
	for k, c := range l.columns {
		one := kind{spring: c.kind, place: c.place}
		for i, d := range modes {
			if d.m.slack[k] {
				one.slack += r.share[i]
			}
		}
		r.kinds = append(r.kinds, one)
		r.Slack[c.kind] = max(r.Slack[c.kind], one.slack)
	}
	if r.Suspects, err = r.odd(ctx); err != nil {
		return nil, err
	}
	r.noteOdd()
	return r, nil
}

// lay makes the table of the draws and sums it up.
func (r *Result) lay(draws []drawn) {
	r.table = newTable(r.modes[0], draws)
	r.Statics, r.Travels, r.Factors = r.table.estimates(len(r.runs))
}

// draw shares the draws out to the modes by their evidence.
func (r *Result) draw(ctx context.Context) ([]drawn, error) {
	var draws []drawn
	sum := 0.0
	for _, d := range r.modes {
		r.share = append(r.share, math.Exp(d.evidence-r.modes[0].evidence))
		sum += r.share[len(r.share)-1]
	}
	for i, d := range r.modes {
		r.share[i] /= sum
		n := int(math.Round(r.share[i] * float64(r.layout.set.Draws)))
		if n == 0 {
			continue
		}
		steps := fewSteps
		if d.sd(d.m.stop0) > ridge {
			steps *= ridgeSteps
		}
		// Of a mode with a small share fewer draws are needed.
		steps = max(leastSteps, int(float64(steps)*math.Sqrt(r.share[i])))
		points, err := d.draws(ctx, n, steps)
		if err != nil {
			return nil, fmt.Errorf("learned: %w", err)
		}
		for _, p := range points {
			draws = append(draws, drawn{d.m, p})
		}
	}
	return draws, nil
}

// choose fits the models that may explain the readings: all springs plain, then each
// in turn with slack, then another one with slack beside those while that helps. What was
// seen of a kind of spring stands. It returns those within keepWithin of the best, best
// first.
func choose(ctx context.Context, l *layout) ([]*mode, error) {
	slack, seen := make([]bool, len(l.columns)), make([]bool, len(l.columns))
	for k, c := range l.columns {
		slack[k], seen[k] = l.set.Slack[c.kind]
	}
	plain := best(newFamily(l, slack))
	if plain == nil {
		return nil, fmt.Errorf("%w: no curve can be fitted to the runs, valid are readings that rise with the speed", errRange)
	}
	all, top := []*mode{plain}, plain
	for range l.columns {
		from := top
		fits, err := workers.Map(ctx, workers.Pool{}, len(l.columns), func(i int) (*mode, error) {
			if from.m.slack[i] || seen[i] {
				return nil, nil
			}
			slack := slices.Clone(from.m.slack)
			slack[i] = true
			return best(newFamily(l, slack)), nil
		})
		if err != nil {
			return nil, fmt.Errorf("learned: %w", err)
		}
		for _, d := range fits {
			if d != nil {
				all = append(all, d)
				if d.evidence > top.evidence {
					top = d
				}
			}
		}
		if top == from {
			break
		}
	}
	return likely(all), nil
}

// likely sorts modes by their evidence, best first, and drops those far from it.
func likely(all []*mode) []*mode {
	slices.SortStableFunc(all, func(a, b *mode) int { return cmp.Compare(b.evidence, a.evidence) })
	for i, d := range all {
		if d.evidence < all[0].evidence-keepWithin {
			return all[:i]
		}
	}
	return all
}

// cloned copies the runs, which the result needs again.
func cloned(runs []Run) []Run {
	out := slices.Clone(runs)
	for i := range out {
		out[i].Springs, out[i].Readings = slices.Clone(out[i].Springs), slices.Clone(out[i].Readings)
	}
	return out
}
