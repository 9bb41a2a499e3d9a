package recipes

import (
	"context"
	"math"
)

// Where nothing meets the limits the next question is what comes nearest. All
// breaches are brought to one measure: a crank degree, 100 rpm, one newton and
// one piece count alike, which is about how a builder would trade them (common
// practice, no source).
const rpmPerDegree = 100

// size is a breach in that measure.
func (b Breach) size() float64 {
	if b.Unit == "rpm crank" {
		return b.By / rpmPerDegree
	}
	return b.By
}

// miss is a recipe's distance from the limits.
type miss struct {
	size           float64
	travel, static int
}

// miss finds the travel and static timing with which the current parts come
// nearest to keeping the limits.
func (w *scan) miss(reach float64) miss {
	t, r := w.t, &w.r
	r.allIn, r.fall = w.allIn, w.fall
	t.crest(r.allIn, w.y)
	t.invertRising(r.rise, w.nodes.omega2, w.y)
	rpm := func(omega2 float64) float64 { return w.p.Drive.RPM(math.Sqrt(max(0, omega2))) }
	short := func(least, have float64) float64 { return max(0, rpm(least)-rpm(have)) / rpmPerDegree }
	leap := math.Inf(1)
	if !w.snap {
		leap, _ = t.leap(w.y, w.driveLo, w.driveHi)
	}
	start := short(w.start, w.y[0])
	best := miss{size: math.Inf(1)}
	for j, travel := range w.travel {
		size := start + max(0, travel-reach) + max(0, travel-leap)
		if j >= w.reachable[1] {
			size += travel - w.travel[max(0, w.reachable[1]-1)]
		}
		end := w.yF[t.fill+j]
		back, snaps := t.trough(w.yF, t.cell[j], end, w.driveLo, w.driveHi)
		if snaps && !w.snap {
			size++
		}
		if back < 0 && w.p.mayReachIdle() {
			t.invertFalling(r.fall[:1], []float64{0}, w.yF, travel, t.cell[j], end)
			size += r.fall[0]
		}
		size += short(w.back, back) + short(w.early, r.allIn[j])
		if !math.IsInf(w.late, 1) {
			size += short(r.allIn[j], w.late)
		}
		if size >= best.size {
			continue
		}
		t.invertFalling(r.fall, w.nodes.omega2, w.yF, travel, t.cell[j], end)
		if k, more := w.missByTiming(j); size+more < best.size {
			best = miss{size + more, j, k}
		}
	}
	return best
}

// missByTiming finds the static setting with the least breach of what depends on
// it: the knock limit and the windows of total and idle. Each is a convex kinked
// line of the static timing, so one of the kinks is best.
func (w *scan) missByTiming(j int) (static int, size float64) {
	travel, n, r := w.travel[j], &w.nodes, &w.r
	top := math.Inf(1)
	for i, x := range r.fall {
		top = min(top, n.top[i]-min(x, travel))
	}
	if w.knock != nil {
		top = min(top, w.atStop(min(r.allIn[j], w.yF[w.t.fill+j]), travel))
	}
	lo, hi := w.sLow[j], w.sHigh[j]
	idleLo, idleHi := math.Inf(-1), math.Inf(1)
	if n.idle >= 0 {
		idleLo, idleHi = w.idle.Low-min(travel, r.rise[n.idle]), w.idle.High-min(travel, r.fall[n.idle])
	}
	size = math.Inf(1)
	last := w.static.count() - 1
	for _, kink := range [...]float64{top, lo, hi, idleLo, idleHi, w.static.Low, w.static.High} {
		if math.IsInf(kink, 0) {
			continue
		}
		k := w.nearest(kink, 0, last)
		for _, k := range [...]int{k, max(0, k-1)} {
			s := w.static.at(k)
			out := max(0, s-top) + max(0, lo-s) + max(0, s-hi) + max(0, idleLo-s) + max(0, s-idleHi)
			if out < size {
				static, size = k, out
			}
		}
	}
	return static, size
}

// nearest finds the combination that comes nearest to the limits: the few best
// by the table are judged on the exact curve.
func nearest(ctx context.Context, q *plan, s *Settings) (*Recipe, []Breach, error) {
	const few = 12
	quiet := *s
	quiet.NoFront, quiet.Plain, quiet.Progress = true, true, nil
	found, err := sweepAll(ctx, q, &quiet, few, func(w *scan) {
		w.visit = func(reach float64) {
			m := w.miss(reach)
			c := w.candidate(score{travel: m.travel, static: m.static})
			c.first, c.second = m.size, 0
			w.kept.add(&c)
		}
	})
	if err != nil {
		return nil, nil, err
	}
	n := newNodes(q.p)
	var best *Recipe
	var broken []Breach
	least := math.Inf(1)
	for i := range found.kept.list {
		c := &found.kept.list[i]
		r, err := q.p.evaluate(&n, c.choice(len(q.p.Positions)), q.static.at(c.static), q.travel[c.travel])
		if err != nil {
			return nil, nil, err
		}
		b := q.p.breaches(r)
		size := 0.0
		for _, x := range b {
			size += x.size()
		}
		if size < least {
			best, broken, least = r, b, size
		}
	}
	return best, broken, nil
}
