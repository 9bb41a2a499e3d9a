package recipes

import (
	"context"
	"math"
	"slices"
)

// Steps of the bound's tables, crank degrees. Every distance from MBT and every
// limit is loosened by half of both, so the bound stays below what any spring, slot
// and static timing can do.
const (
	boundStep   = 0.02 // of the advance
	boundStatic = 0.02 // of the static timing
	boundSlack  = (boundStep + boundStatic) / 2
)

// Bound returns the least torque given up, as a fraction, that any springs and
// weights whatever could reach: the best rising curve that keeps static, travel,
// knock, start, all-in and total limits, its shape left free. No recipe can be
// better. It needs a target with MBT and the parabola of torque loss; it returns
// +Inf where no rising curve keeps the limits.
//
// For each static setting it is a dynamic programme over the speeds: the least
// sum up to here, given the advance here, is that of any lower advance before.
func Bound(ctx context.Context, p *Problem) (float64, error) {
	if err := p.check(); err != nil {
		return 0, err
	}
	if len(p.Target.MBT.Points()) == 0 || len(p.Target.Loss.Rows) > 0 {
		return 0, refuse("bound needs a target with MBT and the parabola of torque loss")
	}
	q := newPlan(p, &Settings{}, 0, 0)
	lo, hi := math.Inf(1), math.Inf(-1)
	for j := range q.reachable[1] {
		lo, hi = min(lo, q.sLow[j]), max(hi, q.sHigh[j])
	}
	least := math.Inf(1)
	for k := 0; ; k++ {
		static := lo + float64(k)*boundStatic
		if !(static <= hi+boundStatic/2) {
			return least, nil
		}
		if err := ctx.Err(); err != nil {
			return 0, err
		}
		least = min(least, q.freest(static))
	}
}

// freest is the least torque given up by any rising curve with a static timing.
func (q *plan) freest(static float64) float64 {
	n := &q.nodes
	travel := q.travel[q.reachable[1]-1]
	sum := make([]float64, int(math.Ceil(travel/boundStep))+1) // least sum so far, by advance at this node
	allIn := false
	for i, v := range n.omega2 {
		lo, hi := 0.0, min(travel, n.top[i]-static)
		if v <= q.start {
			hi = min(hi, 0)
		}
		before := math.Inf(1)
		for m := range sum {
			x := float64(m) * boundStep
			if allIn { // the stop is reached: no further rise
				before = math.Inf(1)
			}
			before = min(before, sum[m])
			if x < lo-boundSlack || x > hi+boundSlack || v >= q.late && x < q.travel[0]-boundSlack {
				sum[m] = math.Inf(1)
				continue
			}
			off := max(0, abs(static+x-n.ref[i])-boundSlack)
			sum[m] = before + n.coef[i]*off*off
		}
		allIn = v >= q.late
	}
	return slices.Min(sum)
}

func abs(x float64) float64 { return math.Abs(x) }
