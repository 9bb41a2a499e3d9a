package recipes

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
)

// finish judges the candidates again on the exact curve with the limits as they
// stand, in the table's order, until no other can come among the best. whole
// tells whether that came before the end of a list that was cut: if not, a
// longer list is needed.
func (q *plan) finish(ctx context.Context, f *found, s *Settings) (res *Result, whole bool, err error) {
	strict := newPlan(q.p, s, 0, 0)
	settings := float64(q.reachable[1]) * float64(q.static.count())
	res = &Result{Choices: f.seen, Combinations: float64(f.seen) * settings}
	whole = !f.kept.full()
	keep := s.keep()
	var scores []score // of the recipes, in the same order
	for i := range f.kept.list {
		if err := ctx.Err(); err != nil {
			return nil, false, context.Cause(ctx)
		}
		c := &f.kept.list[i]
		if len(scores) >= keep && !strict.hopeful(c, &scores[keep-1]) {
			whole, f.kept.list = true, f.kept.list[:i]
			break
		}
		best, err := strict.best(c)
		if err != nil {
			return nil, false, err
		}
		if !best.ok {
			continue
		}
		r, err := strict.recipe(c, best, q.travel[best.travel])
		if err != nil {
			return nil, false, err
		}
		at, _ := slices.BinarySearchFunc(res.Recipes, *r, strict.compare)
		res.Recipes, scores = slices.Insert(res.Recipes, at, *r), slices.Insert(scores, at, best)
	}
	res.Recipes = res.Recipes[:min(len(res.Recipes), keep)]
	if s.FineTravel > 0 {
		for i := range res.Recipes {
			if err := strict.fine(ctx, &res.Recipes[i], s); err != nil {
				return nil, false, err
			}
		}
		slices.SortStableFunc(res.Recipes, strict.compare)
	}
	if !whole && f.kept.limit < longest {
		return res, false, nil // a longer list comes, with its front
	}
	return res, whole, strict.addFront(ctx, res, f)
}

// recipe computes a candidate in full as it was settled.
func (q *plan) recipe(c *candidate, s score, travel float64) (*Recipe, error) {
	return q.p.evaluate(&q.nodes, c.choice(len(q.p.Positions)), q.static.at(s.static), travel)
}

// Differences of the objective that the table does not resolve, with points one
// crank degree apart: its advance errs by less than a hundredth of a degree. What
// is better by less than this may be missing from the end of a list: no timing
// light or dynamometer would tell the two apart, and to judge all of them on the
// exact curve takes longer than the search.
const (
	easeTorque    = 2e-3 // share of the torque given up, beside
	leastEase     = 1e-6 // of the torque
	easeDeviation = 0.02 // crank degrees
)

// hopeful reports whether a candidate may yet be better than a score by more than
// the table resolves.
func (q *plan) hopeful(c *candidate, s *score) bool {
	first, second := s.order(q.bandFirst)
	ease := q.coarse * (easeTorque*c.first + leastEase)
	if q.bandFirst {
		ease = q.coarse * easeDeviation
	}
	if c.first < first-ease {
		return true
	}
	return c.first <= first+ease && c.second < second*(1-easeTorque)
}

// compare orders recipes as the search does.
func (q *plan) compare(a, b Recipe) int {
	first, second := cmp.Compare(a.torque(), b.torque()), cmp.Compare(a.Deviation, b.Deviation)
	if q.bandFirst {
		first, second = second, first
	}
	return cmp.Or(first, second, cmp.Compare(a.Changed, b.Changed), cmp.Compare(a.Weights, b.Weights),
		slices.Compare(a.Springs, b.Springs), slices.Compare(a.Posts, b.Posts), cmp.Compare(a.Travel, b.Travel), cmp.Compare(a.Static, b.Static))
}

// torque is the objective beside the deviation.
func (r *Recipe) torque() float64 { return r.TorqueGivenUp + r.FromMiddle }

// fine finishes a recipe's travel between the settings next to its own: the same
// problem again with a finer travel.
func (q *plan) fine(ctx context.Context, r *Recipe, s *Settings) error {
	own := *q.p
	own.Travel.Step = s.FineTravel
	own.Travel.Low = max(q.p.Travel.Low, r.Travel-q.p.Travel.step())
	own.Travel.High = min(q.p.Travel.High, r.Travel+q.p.Travel.step())
	finer := newPlan(&own, s, 0, 0)
	var best score
	for j := range finer.travel {
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		one, err := finer.exactly(r.Choice, j)
		if err != nil {
			return err
		}
		if one.ok && (!best.ok || finer.prefers(&one, &best)) {
			best = one
		}
	}
	if !best.ok {
		return nil
	}
	better, err := q.p.evaluate(&q.nodes, r.Choice, finer.static.at(best.static), finer.travel[best.travel])
	if err == nil && q.compare(*better, *r) < 0 {
		*r = *better
	}
	return err
}

// near returns which travel settings beside the table's best are tried on the
// exact curve: a few on either side, and with small steps all that lie within a
// cell of the table.
func (q *plan) near(travel int) (from, to int) {
	const few, most = 4, 100
	n := min(max(few, int(math.Ceil(q.cell/q.p.Travel.step()))), most)
	return max(0, travel-n), min(len(q.travel), travel+n+1)
}

// best settles a candidate's travel and static timing on the exact curve.
func (q *plan) best(c *candidate) (score, error) {
	var best score
	from, to := q.near(c.travel)
	for j := from; j < to; j++ {
		s, err := q.exactly(c.choice(len(q.p.Positions)), j)
		if err != nil {
			return best, err
		}
		if s.ok && (!best.ok || q.prefers(&s, &best)) {
			best = s
		}
	}
	return best, nil
}

// exactly settles the static timing of a choice for one travel.
func (q *plan) exactly(c Choice, j int) (score, error) {
	first, last, r, err := q.window(c, j)
	if err != nil || first > last {
		return score{}, err
	}
	s := q.timing(r, len(r.rise), q.travel[j], first, last, q.bandFirst)
	s.travel, s.ok = j, true
	return s, nil
}

// window returns the static settings that keep all limits for one travel of a
// choice, first above last where there are none, and the reading they rest on.
func (q *plan) window(c Choice, j int) (first, last int, r *reading, err error) {
	p := q.p
	travel := q.travel[j]
	m, curve, err := p.exact(c, travel)
	if err != nil {
		return 0, 0, nil, fmt.Errorf("springs %v, weights %d: %w", c.Springs, c.Weights, err)
	}
	if j >= q.reachable[1] || q.breaksShape(m, curve) || p.overstressed(c, m) {
		return 1, 0, nil, nil
	}
	n := &q.nodes
	reading := newReading(len(n.rpm), 1)
	for i, rpm := range n.rpm {
		w := p.Drive.Omega(rpm)
		reading.rise[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Rising))
		reading.fall[i] = p.Drive.CrankDegrees(curve.Theta(w, flyweights.Falling))
	}
	reading.sum(n, q.hasBand)
	room, _ := headroom(p.Drive, p.Limits.Knock, n.rpm, curve)
	lo, hi := q.sLow[j], min(q.sHigh[j], room-p.Limits.KnockMargin)
	if n.idle >= 0 {
		lo, hi = max(lo, q.idle.Low-reading.rise[n.idle]), min(hi, q.idle.High-reading.fall[n.idle])
	}
	first, last = q.settings(lo, hi)
	return first, last, &reading, nil
}

// breaksShape reports whether a curve breaks a limit that static timing cannot
// mend: start, return, all-in, snap.
func (q *plan) breaksShape(m *flyweights.Mechanism, c *flyweights.Curve) bool {
	square := func(w float64) float64 { return w * w }
	if all := square(c.AllIn(flyweights.Rising)); all < q.early || all > q.late {
		return true
	}
	if square(c.Start(flyweights.Rising)) < q.start || square(c.Start(flyweights.Falling)) < q.back {
		return true
	}
	for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		for _, e := range c.Events(dir) {
			if v := square(e.Omega); e.Kind == flyweights.Snap && !q.snap && v >= q.driveLo && v <= q.driveHi || e.Kind == flyweights.Stuck {
				return true
			}
		}
	}
	return false
}

// overstressed reports whether any spring pulls more than its wire bears
// somewhere between rest and the stop.
func (p *Problem) overstressed(c Choice, m *flyweights.Mechanism) bool {
	i := 0
	for _, s := range c.Springs {
		if s < 0 {
			continue
		}
		if part := &p.Drawer.Springs[s]; part.MaxTension > 0 && greatestPull(m, i) > part.MaxTension+1e-9 {
			return true
		}
		i++
	}
	return false
}

// addFront makes recipes of the front's points and of the list. Their parts are
// tried anew on the exact curve, with all static timings and the travels next to
// theirs, since what the table lets through may break a limit by a hair.
func (q *plan) addFront(ctx context.Context, res *Result, f *found) error {
	if f.front == nil {
		return nil
	}
	tried := map[candidate]bool{}
	exact := newFront()
	slot := func(j int) int {
		if q.slotCounts && !q.slotKept[j] {
			return 1
		}
		return 0
	}
	again := func(c candidate) error {
		if err := ctx.Err(); err != nil {
			return context.Cause(ctx)
		}
		parts := c.changed - slot(c.travel)
		from, to := q.near(c.travel)
		for j := from; j < to; j++ {
			key := c
			key.first, key.second, key.changed, key.static, key.travel = 0, 0, 0, 0, j
			if tried[key] {
				continue
			}
			tried[key] = true
			key.changed = parts + slot(j)
			if err := q.addExactly(exact, key); err != nil {
				return err
			}
		}
		return nil
	}
	for _, list := range f.front.levels {
		for i := range list {
			if err := again(list[i].candidate); err != nil {
				return err
			}
		}
	}
	for i := range f.kept.list {
		if err := again(f.kept.list[i]); err != nil {
			return err
		}
	}
	for _, list := range exact.levels {
		for _, at := range list {
			r, err := q.p.evaluate(&q.nodes, at.choice(len(q.p.Positions)), q.static.at(at.static), q.travel[at.travel])
			if err != nil {
				return err
			}
			res.Front = append(res.Front, *r)
		}
	}
	return nil
}

// addExactly offers all static timings of one choice and travel to a front.
func (q *plan) addExactly(f *front, c candidate) error {
	choice := c.choice(len(q.p.Positions))
	first, last, r, err := q.window(choice, c.travel)
	if err != nil || first > last {
		return err
	}
	for k := first; k <= last; k++ {
		s := q.timing(r, len(r.rise), q.travel[c.travel], k, k, q.bandFirst)
		if !q.hasMBT {
			s.torque = 0
		}
		c.static = k
		c.first, c.second = s.order(q.bandFirst)
		f.add(point{torque: steps(s.torque, torqueStep), deviation: steps(s.deviation, deviationStep), candidate: c})
	}
	return nil
}
