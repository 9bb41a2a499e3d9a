package recipes

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"

	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// Steps of the settings for a set of free springs, crank degrees.
const (
	fineStatic = 0.02
	fineTravel = 0.25
)

// fitter looks for the laws of the free springs of one choice of parts.
type fitter struct {
	*scan
	choice  Choice
	laws    []springs.Spring // by position; rate 0 where there is none
	free    []int
	wound   bool // the spring is to be bought: at least the tension of close winding
	grid    *grid
	inverse []float64 // one over the moment of the weights
	starts  [][]float64
}

// fitted is the best found.
type fitted struct {
	f     *fitter
	x     []float64
	value float64
	score score
	miss  miss
}

// fitterPoints is finer than the search's grid, since a free take-up has no
// point of its own.
const fitterPoints = 129

func newFitter(p *Problem, s *Settings, c Choice, free []int) (*fitter, error) {
	if s == nil {
		s = &Settings{}
	}
	own := *p
	own.Drawer.Springs = nil // no take-up of the drawer's springs in the grid
	g, err := newGrid(&own, p.Drawer.Weights[c.Weights].Weights, fitterPoints)
	if err != nil {
		return nil, err
	}
	// A little inside the limits, so that the exact curve keeps them too.
	f := &fitter{choice: c, free: free, grid: g, scan: newScan(newPlan(p, s, -1e-4, -2e-3), s, 1)}
	if f.inverse, err = weightMoments(p, g, c.Weights); err != nil {
		return nil, err
	}
	t := &tables{grid: g, weights: c.Weights, width: g.fill + len(g.travel)}
	f.layer = &layer{t: t, y: make([]float64, t.width), yF: make([]float64, t.width)}
	for k := len(g.phi); k < g.fill; k++ {
		f.y[k], f.yF[k] = beyond*float64(k), beyond*float64(k)
	}
	for _, n := range c.Springs {
		law := springs.Spring{}
		if n >= 0 {
			law = p.Drawer.Springs[n].Spring
		}
		f.laws = append(f.laws, law)
	}
	f.guess()
	return f, nil
}

// reachAt is how a position's chosen post stretches its spring.
func (f *fitter) reachAt(position int) *reach {
	return &f.grid.posts[position][f.choice.Posts[position]]
}

// A free spring has three numbers: logarithms of its rate and of its tension
// where it is taut, and its slack as a share of its stretch.
const perSpring = 3

// Bounds of what is asked for: outside them nobody would call it a spring for
// this place.
const (
	leastRate, mostRate       = 50, 1e6    // N/m
	leastTension, mostTension = 0.05, 1000 // N

	// Close winding leaves a tension in the coils. Music wire wound to work at
	// 20 mm, by design.Springs over rates of 200 to 4000 N/m, carries at least
	// what a stretch of 1.5 to 2 mm would add, hence this share of the length.
	woundIn = 0.1
)

// law makes a spring of three numbers at a position. A taut one is stretched a
// little beyond its take-up at rest; what of its tension is wound in does not
// matter to the curve.
func (f *fitter) law(position int, x []float64) springs.Spring {
	r := f.reachAt(position)
	rest, stretch := r.length[0], slices.Max(r.length)-r.length[0]
	rate := min(max(math.Exp(min(x[0], 20)), leastRate), mostRate)
	tension := min(max(math.Exp(min(x[1], 20)), leastTension), mostTension)
	if f.wound {
		tension = max(tension, woundIn*rest*rate)
	}
	if slack := x[2] * stretch; slack > 0 {
		return springs.Spring{Rate: rate, FreeLength: 0.9 * rest, InitialTension: tension, Slack: 0.1*rest + min(slack, stretch)}
	}
	over := min(tension/(2*rate), 0.3*rest)
	return springs.Spring{Rate: rate, FreeLength: rest - over, InitialTension: tension - rate*over}
}

// groups are the free positions that share one spring: all but the last, and the
// last.
func (f *fitter) groups() [][]int {
	n := len(f.free)
	if n == 1 {
		return [][]int{f.free}
	}
	return [][]int{f.free[:n-1], f.free[n-1:]}
}

// set fills the laws of the free positions.
func (f *fitter) set(x []float64) {
	for i, g := range f.groups() {
		for _, position := range g {
			f.laws[position] = f.law(position, x[perSpring*i:perSpring*(i+1)])
		}
	}
}

// guess makes starts from what the ends of the travel ask: tension at rest for a
// start at the least speed or somewhat above, rate for an all-in inside its
// window, shared by the free springs alike; once all taut, once the last slack
// over a third of the way.
func (f *fitter) guess() {
	g := f.grid
	last := len(g.phi) - 1
	top := f.nodes.omega2[len(f.nodes.omega2)-1]
	least := f.start
	if least == 0 {
		least = 0.7 * f.nodes.omega2[0]
	}
	lo, hi := max(f.early, least*1.5), min(f.late, top)
	for _, begin := range []float64{1.05, 1.4} {
		for _, share := range []float64{0.25, 0.75} {
			want := [2]float64{least * begin, lo + share*(hi-lo)}
			taut := f.equal(want, last)
			if taut == nil {
				continue
			}
			n := len(f.groups())
			var all []float64
			for range n {
				all = append(all, taut...)
			}
			slack := slices.Clone(all)
			slack[len(slack)-1] = 0.3
			f.starts = append(f.starts, all, slack)
		}
	}
}

// equal solves tension and rate of equal free springs for omega^2 at both ends.
func (f *fitter) equal(want [2]float64, last int) []float64 {
	g := f.grid
	var moment [2]float64 // that the free springs must give
	var arm [2]float64    // their moment per newton
	var stretch float64   // their moment at the stop per N/m
	free := map[int]bool{}
	for _, i := range f.free {
		free[i] = true
	}
	for e, k := range []int{0, last} {
		moment[e] = want[e]/f.inverse[k] - f.p.Mechanism.Drag*g.slope[k]
		for i := range f.laws {
			r := f.reachAt(i)
			if !free[i] {
				moment[e] -= r.moment(&f.laws[i], k)
				continue
			}
			arm[e] += r.slope[k]
			if e == 1 {
				stretch += (r.length[k] - r.length[0]) * r.slope[k]
			}
		}
	}
	tension := max(moment[0]/arm[0], 0.01)
	rate := max((moment[1]-tension*arm[1])/stretch, 10)
	if !valid.Finite(tension) || !valid.Finite(rate) {
		return nil
	}
	return []float64{math.Log(rate), math.Log(tension), -0.05}
}

// Values of the objective: what keeps the limits lies below, what does not lies
// above by how far it misses them.
const unfit = 1e3

// value is what the search lowers.
func (f *fitter) value(x []float64) (float64, score, miss) {
	f.set(x)
	f.rows()
	if f.y[0] >= f.start && f.yF[0] >= f.back {
		if s := f.settleRows(math.Inf(1)); s.ok {
			if f.bandFirst {
				return s.deviation + 1e-3*s.torque, s, miss{}
			}
			return s.torque + 1e-6*s.deviation, s, miss{}
		}
	}
	m := f.miss(noPull)
	return unfit + m.size, score{}, m
}

// rows computes omega^2 of both sweeps.
func (f *fitter) rows() {
	g, m := f.grid, &f.p.Mechanism
	for k := range g.phi {
		pull := 0.0
		for i := range f.laws {
			if f.laws[i].Rate > 0 {
				pull += f.reachAt(i).moment(&f.laws[i], k)
			}
		}
		drag := m.Drag * g.slope[k]
		band := m.Friction.Moment + m.Friction.Proportion*math.Abs(pull)
		f.y[k], f.yF[k] = (pull+drag+band)*f.inverse[k], (pull+drag-band)*f.inverse[k]
	}
	g.addTravels(f.y)
	g.addTravels(f.yF)
}

// better returns what the search finds or what there was, whichever is better.
func (f *fitter) better(ctx context.Context, best *fitted) (*fitted, error) {
	got, err := f.search(ctx)
	if err != nil || best == nil || got.value < best.value {
		return got, err
	}
	return best, nil
}

// search runs the simplex method from every start: the objective has kinks where
// limits begin to bind, so no derivatives are used.
func (f *fitter) search(ctx context.Context) (*fitted, error) {
	best := &fitted{f: f, value: math.Inf(1)}
	for _, start := range f.starts {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if v, _, _ := f.value(start); v < best.value {
			best.x, best.value = slices.Clone(start), v
		}
		// A simplex may shrink on a kink: it begins anew where it ended while that
		// helps.
		last := math.Inf(1)
		for range 20 {
			x, v, err := f.simplex(start)
			if err != nil {
				return nil, err
			}
			if v < best.value {
				best.x, best.value = slices.Clone(x), v
			}
			if !(v < last-1e-3*math.Abs(v)) {
				break
			}
			start, last = x, v
		}
	}
	if best.x == nil {
		return nil, refuse("no spring can be asked for: weights or posts leave it no moment")
	}
	_, best.score, best.miss = f.value(best.x)
	return best, nil
}

// simplex runs the method once.
func (f *fitter) simplex(start []float64) ([]float64, float64, error) {
	res, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 { v, _, _ := f.value(x); return v }},
		start, &optimize.Settings{FuncEvaluations: 1200, Converger: &optimize.FunctionConverge{Absolute: 1e-8, Iterations: 40}},
		&optimize.NelderMead{SimplexSize: 0.2})
	if res == nil {
		return nil, 0, err
	}
	return res.X, res.F, nil // running out of evaluations is an end, not an error
}
