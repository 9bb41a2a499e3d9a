package recipes

import (
	"cmp"
	"context"
	"math"
	"slices"

	"example.org/bobweight/springs/workers"
)

// finish judges the candidates again on the exact curve with the limits as they
// stand, in the table's order, until no other can come among the best. whole
// tells whether that came before the end of a list that was cut: if not, a
// longer list is needed.
func (q *plan) finish(ctx context.Context, f *found, s *Settings) (res *Result, whole bool, err error) {
	strict := newPlan(q.p, s, 0, 0)
	settings := float64(q.reachable[1]) * float64(q.static.count())
	res = &Result{Choices: f.seen, Combinations: float64(f.seen) * settings, Done: f.done}
	whole = !f.kept.full()
	keep := s.keep()
	var scores []score // of the recipes, in the same order
	list := f.kept.list
	enough := func(i int) bool { return len(scores) >= keep && !strict.hopeful(&list[i], &scores[keep-1]) }
	end := len(list)
	for from, to := 0, 0; from < end; from = to {
		if enough(from) {
			end = from
			break
		}
		to = min(end, max(keep, from+judgedAtOnce))
		judged, err := workers.Map(ctx, workers.Pool{Workers: s.Workers}, to-from, func(i int) (settled, error) { return strict.judge(&list[from+i]) })
		if err != nil {
			return nil, false, err
		}
		for i, one := range judged {
			if enough(from + i) {
				end = from + i
				break
			}
			if one.recipe != nil {
				at, _ := slices.BinarySearchFunc(res.Recipes, *one.recipe, strict.compare)
				res.Recipes, scores = slices.Insert(res.Recipes, at, *one.recipe), slices.Insert(scores, at, one.score)
			}
		}
	}
	if end < len(list) {
		whole, f.kept.list = true, list[:end]
	}
	res.Recipes = res.Recipes[:min(len(res.Recipes), keep)]
	if !whole && f.kept.limit < longest {
		return res, false, nil // a longer list comes, with its front
	}
	return res, whole, strict.addFront(ctx, res, f)
}

// judgedAtOnce is how many candidates beyond the list are judged together.
const judgedAtOnce = 16

// settled is a candidate on its exact curve; no recipe where it breaks a limit.
type settled struct {
	score  score
	recipe *Recipe
}

// judge settles a candidate and computes it in full.
func (q *plan) judge(c *candidate) (settled, error) {
	best, err := q.best(c)
	if err != nil || !best.ok {
		return settled{}, err
	}
	r, err := q.p.evaluate(&q.nodes, c.choice(len(q.p.Positions)), q.static.at(best.static), q.travel[best.travel])
	return settled{best, r}, err
}

// Differences of the objective that the table does not resolve, with points one
// crank degree apart: its advance errs by less than a hundredth of a degree. What
// is better by less than this may be missing from the end of a list: no timing
// light or dynamometer would tell the two apart, and to judge all of them on the
// exact curve takes longer than the search.
const (
	slackTorque    = 2e-3 // share of the torque given up, beside
	leastSlack     = 1e-6 // of the torque
	slackDeviation = 0.02 // crank degrees
)

// hopeful reports whether a candidate may yet be better than a score by more than
// the table resolves.
func (q *plan) hopeful(c *candidate, s *score) bool {
	first, second := s.order(q.bandFirst)
	slack := q.coarse * (slackTorque*c.first + leastSlack)
	if q.bandFirst {
		slack = q.coarse * slackDeviation
	}
	if c.first < first-slack {
		return true
	}
	return c.first <= first+slack && c.second < second*(1-slackTorque)
}

// compare orders recipes as the search does.
func (q *plan) compare(a, b Recipe) int {
	first, second := q.ties(a.torque(), a.Deviation)
	than, then := q.ties(b.torque(), b.Deviation)
	return cmp.Or(cmp.Compare(first, than), cmp.Compare(second, then), cmp.Compare(a.Changed, b.Changed), cmp.Compare(a.Weights, b.Weights),
		slices.Compare(a.Springs, b.Springs), slices.Compare(a.Posts, b.Posts), cmp.Compare(a.Travel, b.Travel), cmp.Compare(a.Static, b.Static))
}

// torque is the objective beside the deviation.
func (r *Recipe) torque() float64 { return r.TorqueGivenUp + r.FromMiddle }

// near returns which travel settings beside the table's best are tried on the
// exact curve: a few on either side, and with small steps all that lie within a
// cell of the table.
func (q *plan) near(travel int) (from, to int) {
	const few, most = 4, 100
	step := (q.travel[len(q.travel)-1] - q.travel[0]) / float64(max(len(q.travel)-1, 1))
	n := few
	if step > 0 {
		n = int(math.Ceil(min(max(few, q.cell/step), most)))
	}
	return max(0, travel-n), min(len(q.travel), travel+n+1)
}

// best settles a candidate's travel and static timing on the exact curve.
func (q *plan) best(c *candidate) (score, error) {
	from, to := q.near(c.travel)
	return q.settleExactly(c.choice(len(q.p.Positions)), from, to)
}

// settleExactly settles travel, among the settings from to to-1, and static timing
// of a choice on its exact curve.
func (q *plan) settleExactly(c Choice, from, to int) (best score, err error) {
	if to = min(to, q.reachable[1]); from >= to {
		return score{}, nil
	}
	x, err := q.newCut(c, to-1)
	if err != nil {
		return score{}, err
	}
	for j := from; j < to; j++ {
		first, last, r, err := x.window(j)
		if err != nil {
			return score{}, err
		}
		if first > last {
			continue
		}
		s := q.timing(r, len(r.rise), q.travel[j], first, last, q.bandFirst)
		if s.travel, s.ok = j, true; !best.ok || q.prefers(&s, &best) {
			best = s
		}
	}
	return best, nil
}

// addFront makes recipes of the front's points and of the list. Their parts are
// tried anew on the exact curve, with all static timings and the travels next to
// theirs, since what the table lets through may break a limit by rounding.
func (q *plan) addFront(ctx context.Context, res *Result, f *found) error {
	if f.front == nil {
		return nil
	}
	tried := map[candidate]bool{} // one travel of one choice
	cuts := map[candidate]*cut{}  // by choice
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
		key := c
		key.first, key.second, key.changed, key.static, key.travel = 0, 0, 0, 0, 0
		x := cuts[key]
		if x == nil {
			var err error
			if x, err = q.newCut(c.choice(len(q.p.Positions)), q.reachable[1]-1); err != nil {
				return err
			}
			cuts[key] = x
		}
		for j := from; j < min(to, q.reachable[1]); j++ {
			key.travel = j
			if tried[key] {
				continue
			}
			tried[key] = true
			one := key
			one.changed = parts + slot(j)
			if err := q.addExactly(exact, x, one); err != nil {
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
func (q *plan) addExactly(f *front, x *cut, c candidate) error {
	first, last, r, err := x.window(c.travel)
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
