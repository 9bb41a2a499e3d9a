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
// nearest to keeping the limits. pull says by how many newtons wires are
// overloaded up to a travel setting.
func (w *scan) miss(pull func(j int) float64) miss {
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
		size := start + pull(j) + max(0, travel-leap)
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

// noPull is for springs whose wire is not known.
func noPull(int) float64 { return 0 }

// overPull is by how many newtons the wires of the current springs are overloaded
// up to a travel setting.
func (w *scan) overPull(j int) float64 {
	sum := 0.0
	for i := range w.p.Positions {
		f := w.fitAt(i)
		if f.spring < 0 || w.p.Drawer.Springs[f.spring].MaxTension == 0 {
			continue
		}
		part, post, cell := &w.p.Drawer.Springs[f.spring], &w.t.posts[i][f.post], w.t.cell[j]
		most := 0.0
		for k := range cell + 1 {
			most = max(most, post.tension(&part.Spring, k))
		}
		from, to := post.tension(&part.Spring, cell), post.tension(&part.Spring, cell+1)
		most = max(most, from+w.t.part[j]*(to-from))
		sum += max(0, most-part.MaxTension)
	}
	return sum
}

// missByTiming finds the static setting with the least breach of what depends on
// it: the knock limit and the windows of total and idle, each counted by itself.
// Their sum is a convex kinked line of the static timing, so a setting next to one
// of the kinks is best.
func (w *scan) missByTiming(j int) (static int, size float64) {
	travel, n, r, l := w.travel[j], &w.nodes, &w.r, &w.p.Limits
	top := math.Inf(1)
	for i, x := range r.fall {
		top = min(top, n.top[i]-min(x, travel))
	}
	if w.knock != nil {
		top = min(top, w.atStop(min(r.allIn[j], w.yF[w.t.fill+j]), travel))
	}
	total, idle := l.Total.orOpen(), w.idle
	switch {
	case n.idle >= 0:
		idle.Low -= min(travel, r.rise[n.idle])
		idle.High -= min(travel, r.fall[n.idle])
	case l.AdvanceAtIdle:
		idle = Window{}.orOpen()
	}
	windows := [...]Window{{math.Inf(-1), top}, {total.Low - travel, total.High - travel}, {idle.Low, math.Inf(1)}, {math.Inf(-1), idle.High}}
	size = math.Inf(1)
	last := w.static.count() - 1
	try := func(k int) {
		s, out := w.static.at(k), 0.0
		for _, o := range windows {
			out += max(0, o.Low-s) + max(0, s-o.High)
		}
		if out < size {
			static, size = k, out
		}
	}
	try(0)
	try(last)
	for _, o := range windows {
		for _, kink := range [2]float64{o.Low, o.High} {
			at := w.nearest(kink, 0, last)
			for k := max(0, at-1); k <= min(last, at+1); k++ {
				try(k)
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
	quiet.Progress = nil
	found, err := sweepAll(ctx, q, &quiet, few, func(w *scan) {
		w.visit = func() {
			m := w.miss(w.overPull)
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
