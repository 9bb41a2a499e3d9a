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
	return res, whole, nil
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
