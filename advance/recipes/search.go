package recipes

import (
	"context"
	"errors"
	"fmt"
	"runtime"

	"example.org/bobweight/springs/workers"
)

// Settings steer the search. Nil stands for the defaults.
type Settings struct {
	Keep    int // recipes in the list; 0 stands for 10
	Grid    int // swing positions at which the parts are tabulated; 0 stands for 33
	Workers int // goroutines; 0 stands for GOMAXPROCS
	// BandFirst ranks by deviation from the band, then by torque given up. Where
	// the target has no MBT that is the order anyway.
	BandFirst bool
	// NoReasons leaves out the search for what comes nearest where nothing fits,
	// which takes longer than finding that nothing does.
	NoReasons bool
	// Progress, where given, is told how much of the work is done, 0 to 1, from
	// one goroutine at a time and never backwards. Where the first pass over the
	// combinations does not settle the list it stays at 1 during the next.
	Progress func(done float64)
}

// forwards returns the settings with a progress that is told of nothing that lies
// behind.
func (s *Settings) forwards() *Settings {
	if s.Progress == nil {
		return s
	}
	own, told := *s, 0.0
	own.Progress = func(done float64) {
		if done > told {
			told = done
			s.Progress(done)
		}
	}
	return &own
}

// within returns the settings with a progress that stands for a part of the whole.
func (s *Settings) within(from, to float64) *Settings {
	if s.Progress == nil {
		return s
	}
	own := *s
	own.Progress = func(done float64) { s.Progress(from + (to-from)*done) }
	return &own
}

func (s *Settings) keep() int {
	if s.Keep == 0 {
		return 10
	}
	return s.Keep
}

func (s *Settings) points() int {
	if s.Grid == 0 {
		return 33
	}
	return s.Grid
}

func (s *Settings) workers() int {
	if s.Workers == 0 {
		return runtime.GOMAXPROCS(0)
	}
	return s.Workers
}

func (s *Settings) check() error {
	return firstOf(within("recipes to keep", float64(s.Keep), "recipes", 0, 10_000),
		within("grid", float64(s.points()), "points", 5, 4097),
		within("workers", float64(s.Workers), "goroutines", 0, 4096))
}

// Result is what a search found.
type Result struct {
	Recipes []Recipe // best first
	// Combinations is how many ways to set up the drawer the search stood for:
	// parts times slot travels within reach times static timings.
	Combinations float64
	Choices      uint64 // combinations of parts alone
	// Done is the share of them that was tried: 1, unless the context ended first.
	Done float64

	// Where nothing meets the limits: what comes nearest, the limits it breaks,
	// and the spring to buy in place of one of its own, or if one is not enough a
	// whole set. A wish that still breaks limits says that no springs will do, and
	// no wish that springs have no hold there.
	Nearest  *Recipe
	Breaches []Breach
	Missing  *Wish
}

// explain fills what there is to say where nothing meets the limits.
func (r *Result) explain(ctx context.Context, q *plan, s *Settings) (err error) {
	if r.Nearest, r.Breaches, err = nearest(ctx, newPlan(q.p, s, 0, 0), s); err != nil || r.Nearest == nil {
		return err
	}
	if q.p.Shares != nil {
		return nil // a spring to buy has a rate, and shares do not tell it
	}
	r.Missing, err = q.p.missing(ctx, r.Nearest, s)
	if err == nil && len(r.Missing.Breaches) > 0 {
		var set *Wish
		if set, err = q.p.missingSet(ctx, s); err == nil && len(set.Breaches) == 0 {
			r.Missing = set
		}
	}
	if errors.Is(err, errRange) {
		return nil // springs have no hold there: there is none to wish for
	}
	return err
}

// More candidates than asked for go to the exact curve, which adds what the table
// cannot see. If spare ones do not settle the list, it is made longer.
const (
	spare   = 40
	longest = 40_000
)

// Share of omega^2 and crank degrees by which the table's straight lines may
// differ from the exact curve, generously, with points 1 crank degree apart (33
// over 32); both grow with the square of the spacing.
const (
	usualCell  = 1.0
	looseSpeed = 1e-3
	looseAngle = 0.02
)

// Search tries every combination of springs, posts, weights, slot travel and
// static timing, and returns the best that keep the limits, each with its exact
// curve. The order is total, so the same problem gives the same list whatever
// the number of workers. The search itself reads a table: recipes whose
// objectives differ by less than about 0.2 % of the torque given up (or 0.02
// crank degrees of the band) may stand for each other at the end of the list.
// A wider grid or a longer travel widens that with the square of the spacing.
//
// Errors: those of [Problem]; a drawer with more than 2e8 ways to put parts in;
// [ErrNoRecipe] where nothing meets the limits; the context's error where it ended
// first, with the best of what was tried until then.
func Search(ctx context.Context, p *Problem, s *Settings) (*Result, error) {
	if s == nil {
		s = &Settings{}
	}
	if err := firstOf(p.check(), s.check()); err != nil {
		return nil, err
	}
	if err := p.checkSize(); err != nil {
		return nil, err
	}
	q := newPlan(p, s, 0, 0)
	q = newPlan(p, s, looseSpeed*q.coarse, looseAngle*q.coarse)
	if q.reachable[1] == 0 {
		return nil, outOfRange("travel low", p.Travel.Low, "deg crank", "within the slot as it is, unless the limits allow filing")
	}
	keep := s.keep() + spare
	s = s.forwards()
	left := 1.0   // share of the bar: nobody knows how many sweeps there will be
	for range 8 { // four times longer each, up to the longest
		found, err := sweepAll(ctx, q, s.within(1-left, 1-0.2*left), keep, nil)
		left *= 0.2
		if cause := context.Cause(ctx); cause != nil {
			return q.soFar(ctx, found, s), cause
		}
		if err != nil {
			return nil, err
		}
		r, whole, err := q.finish(ctx, found, s)
		if cause := context.Cause(ctx); cause != nil {
			return q.soFar(ctx, found, s), cause
		}
		if err != nil {
			return nil, err
		}
		if !whole && keep < longest {
			keep = min(4*keep, longest)
			continue
		}
		if len(r.Recipes) == 0 {
			if !s.NoReasons {
				if err := r.explain(ctx, q, s); err != nil {
					return r, err
				}
			}
			if r.Choices == 0 {
				return r, fmt.Errorf("%w: the drawer has too few pieces for %d places, and they may not be empty", ErrNoRecipe, len(p.Positions))
			}
			return r, fmt.Errorf("%w: none of %.4g", ErrNoRecipe, r.Combinations)
		}
		if s.Progress != nil {
			s.Progress(1)
		}
		return r, nil
	}
	return nil, refuse("the list of %d recipes does not settle", s.keep()) // the longest list always does
}

// soFar is the best of what was tried until a context ended, judged within a moment:
// as many as are asked for and no spare ones. Nil where nothing can be said.
func (q *plan) soFar(ctx context.Context, f *found, s *Settings) *Result {
	f.kept.list = f.kept.list[:min(len(f.kept.list), s.keep(), soFarMost)]
	r, _, err := q.finish(context.WithoutCancel(ctx), f, s)
	if err != nil {
		return nil
	}
	return r
}

// soFarMost is how many recipes are judged after a context has ended.
const soFarMost = 1000

// found is what the workers bring together.
type found struct {
	kept best
	seen uint64
	done float64 // share of the work
}

// sweepAll shares the combinations out to workers: a task is a set of weights
// with one fit at the first position. prepare may change a worker before it
// begins. With an error comes what was found until then.
func sweepAll(ctx context.Context, q *plan, s *Settings, keep int, prepare func(*scan)) (*found, error) {
	tasks := newTasks(q.p)
	pool := workers.Pool{Workers: s.Workers}
	ended := 0
	pool.Progress = func(done, total int) {
		if ended = done; s.Progress != nil {
			s.Progress(float64(done) / float64(total))
		}
	}
	scans, err := workers.With(ctx, pool, tasks.count, func() *scan {
		w := newScan(q, s, keep)
		if prepare != nil {
			prepare(w)
		}
		return w
	}, func(w *scan, i int) error { return w.task(tasks, i, func() bool { return ctx.Err() != nil }) })
	all := &found{kept: best{limit: keep}, done: float64(ended) / float64(tasks.count)}
	for _, w := range scans {
		all.seen += w.seen
		for i := range w.kept.list {
			all.kept.add(&w.kept.list[i])
		}
	}
	return all, err
}

// tasks numbers the pieces of work.
type tasks struct{ perWeights, count int }

func newTasks(p *Problem) tasks {
	if len(p.Positions) == 1 {
		return tasks{1, len(p.Drawer.Weights)}
	}
	n := len(p.Drawer.Springs) * len(p.Positions[0].Posts)
	if p.Positions[0].Empty {
		n++
	}
	return tasks{n, n * len(p.Drawer.Weights)}
}

// task does one piece of work.
func (w *scan) task(t tasks, i int, stop func() bool) error {
	if err := w.load(i / t.perWeights); err != nil {
		return err
	}
	if len(w.p.Positions) == 1 {
		w.walk(0, stop)
		return nil
	}
	if w.place(0, i%t.perWeights) {
		w.walk(1, stop)
		w.take(0)
	}
	return nil
}
