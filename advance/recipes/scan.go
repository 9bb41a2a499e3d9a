package recipes

import (
	"math"

	"example.org/bobweight/flyweights"
)

// scan is one worker's state: it walks all combinations of springs for one set
// of weights and one spring at the first position, and keeps the best.
type scan struct {
	*plan
	*layer     // in use: full or flat
	full, flat *layer
	points     int
	parts      [2]*grid // of full and flat, of the geometry last used
	of         []flyweights.Weight

	left        []int              // pieces of each spring not used so far
	at          [maxPositions]int  // index of the placement at each position
	loops       [maxPositions]bool // a spring of the first positions is taken up on the way
	r           reading
	allIn, fall []float64 // memory for r where its own would be a row of the tables
	kept        best
	change      *changes
	changed     int    // springs and weights that the current combination changes, -1 until counted
	visit       func() // called for every combination, instead of scoring it
	seen        uint64 // combinations of parts looked at
}

// layer is the tables on one grid with the sums over the positions filled so far. A
// combination without a spring that is taken up on the way needs no point for the
// take-ups of others: it is added up on the flat layer, whose grid has none.
type layer struct {
	t            *tables
	sum          [][]float64 // base plus the rows of the first positions, by how many of them
	sumF         [][]float64
	steep, reach [maxPositions]float64
	y, yF        []float64
}

func newLayer(t *tables, positions int) *layer {
	l := &layer{t: t, sum: make([][]float64, positions), sumF: make([][]float64, positions)}
	for i := range positions {
		l.sum[i] = make([]float64, t.width)
		l.sumF[i] = l.sum[i]
		if !t.smooth {
			l.sumF[i] = make([]float64, t.width)
		}
	}
	copy(l.sum[0], t.base)
	copy(l.sumF[0], t.baseF)
	l.steep[0], l.reach[0] = min(t.leastStep(t.base), t.leastStep(t.baseF)), math.Inf(1)
	l.y = make([]float64, t.width)
	l.yF = l.y
	if !t.smooth {
		l.yF = make([]float64, t.width)
	}
	return l
}

func newScan(q *plan, s *Settings, keep int) *scan {
	w := &scan{plan: q, points: s.points(), left: make([]int, len(q.p.Drawer.Springs)), kept: best{limit: keep}}
	for i, part := range q.p.Drawer.Springs {
		w.left[i] = part.Count
	}
	w.r = newReading(len(q.nodes.rpm), len(q.travel))
	w.allIn, w.fall = w.r.allIn, w.r.fall
	return w
}

// sameGeometry reports whether two sets move springs alike: pivots matter,
// masses and centres do not.
func sameGeometry(a, b []flyweights.Weight) bool {
	if a == nil || len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Pivot != b[i].Pivot || a[i].Clockwise != b[i].Clockwise || a[i].Slide != b[i].Slide {
			return false
		}
	}
	return true
}

// load makes the tables for a set of weights current.
func (w *scan) load(weights int) error {
	if w.full != nil && w.full.t.weights == weights {
		return nil
	}
	set := w.p.Drawer.Weights[weights].Weights
	if w.parts[0] == nil || !sameGeometry(w.of, set) {
		bare := *w.p
		bare.Drawer.Springs = nil // no take-ups
		for i, p := range []*Problem{w.p, &bare} {
			g, err := newGrid(p, set, w.points)
			if err != nil {
				return err
			}
			w.parts[i] = g
		}
		w.of = set
	}
	t, err := newTables(w.p, w.parts[0], weights, nil)
	if err != nil {
		return err
	}
	n := len(w.p.Positions)
	w.full = newLayer(t, n)
	w.flat = w.full
	if len(w.parts[1].phi) < len(w.parts[0].phi) {
		flat, err := newTables(w.p, w.parts[1], weights, t.fits)
		if err != nil {
			return err
		}
		w.flat = newLayer(flat, n)
	}
	w.layer = w.full
	w.change = newChanges(w.p, t.same)
	return nil
}

// from returns the first placement to try at a position: mirror positions are filled
// in order of strength, since exchanging their springs changes nothing.
func (w *scan) from(position int) int {
	for j := position - 1; j >= 0; j-- {
		if w.t.same[j] == w.t.same[position] {
			return w.at[j]
		}
	}
	return 0
}

// place puts a placement into a position before the last, if there is a piece left.
func (w *scan) place(position, i int) bool {
	f := w.t.fits[position][i]
	if f.spring >= 0 {
		if w.left[f.spring] == 0 {
			return false
		}
		w.left[f.spring]--
	}
	w.at[position] = i
	w.loops[position+1] = w.loops[position] || w.full.t.loops[position][i]
	w.full.push(position, i)
	if w.flat != w.full {
		w.flat.push(position, i)
	}
	return true
}

// push adds a placement to the sums.
func (l *layer) push(position, i int) {
	l.add(position, i, l.sum[position+1], l.sumF[position+1])
	l.steep[position+1] = l.steep[position] + l.t.steep[position][i]
	l.reach[position+1] = min(l.reach[position], l.t.reach[position][i])
}

// add writes the rows up to a position plus a placement's own.
func (l *layer) add(position, i int, to, toF []float64) {
	t := l.t
	row := t.rise[position][i*t.width : (i+1)*t.width]
	plus(to, l.sum[position], row)
	if !t.smooth {
		row = t.fall[position][i*t.width : (i+1)*t.width]
		plus(toF, l.sumF[position], row)
	}
}

// plus writes a + b.
func plus(to, a, b []float64) {
	b, to = b[:len(a)], to[:len(a)]
	for k, v := range a {
		to[k] = v + b[k]
	}
}

// take gives the piece back.
func (w *scan) take(position int) {
	if s := w.t.fits[position][w.at[position]].spring; s >= 0 {
		w.left[s]++
	}
}

// walk tries every combination from a position on. stop ends it early.
func (w *scan) walk(position int, stop func() bool) {
	if position == len(w.p.Positions)-1 {
		if w.visit != nil {
			w.each(position, stop)
			return
		}
		w.last(position, stop)
		return
	}
	for i := w.from(position); i < len(w.t.fits[position]) && !stop(); i++ {
		if w.place(position, i) {
			w.walk(position+1, stop)
			w.take(position)
		}
	}
}

// settleRows scores what stands in the rows of the two sweeps.
func (w *scan) settleRows(reach float64) score {
	if w.y[0] >= 0 && w.yF[0] >= 0 && w.rises() {
		var s score
		w.steady(&s, reach)
		return s
	}
	return w.snapping(reach)
}

// each hands every combination to visit, its rows ready.
func (w *scan) each(position int, stop func() bool) {
	w.layer = w.full
	t := w.t
	for i := w.from(position); i < len(t.fits[position]) && !stop(); i++ {
		if s := t.fits[position][i].spring; s >= 0 && w.left[s] == 0 {
			continue
		}
		w.at[position], w.changed = i, -1
		w.add(position, i, w.y, w.yF)
		w.visit()
	}
}

// fitAt is the placement that the current combination has at a position.
func (w *scan) fitAt(position int) placement { return w.t.fits[position][w.at[position]] }

// asked is after how many combinations a worker asks whether it is to stop.
const asked = 16

// last tries every placement at the last position.
func (w *scan) last(position int, stop func() bool) {
	loops, fits := w.full.t.loops[position], w.full.t.fits[position]
	from, to := w.reachable[0], w.reachable[1]
	var s score
	for i := w.from(position); i < len(fits); i++ {
		if i%asked == 0 && stop() {
			return
		}
		if s := fits[i].spring; s >= 0 && w.left[s] == 0 {
			continue
		}
		w.seen++
		l := w.flat
		if w.loops[position] || loops[i] {
			l = w.full
		}
		t := l.t
		sum, row := l.sum[position], t.rise[position][i*t.width:(i+1)*t.width]
		begins, ends := sum[0]+row[0], l.sumF[position][0]+t.fall[position][i*t.width]
		if begins < w.start || ends < w.back {
			continue
		}
		w.layer = l
		w.at[position], w.changed = i, -1
		reach := min(l.reach[position], t.reach[position][i]) + w.slack
		if l.steep[position]+t.steep[position][i] > 0 && begins >= 0 && ends >= 0 {
			early, late := t.fill+from, t.fill+to-1 // columns of the shortest and longest travel
			if sum[early]+row[early] > w.late || sum[late]+row[late] < w.early {
				continue
			}
			l.add(position, i, l.y, l.yF)
			w.steady(&s, reach)
		} else {
			l.add(position, i, l.y, l.yF)
			s = w.settleRows(reach)
		}
		if s.ok {
			w.offer(s)
		}
	}
}

// partsChanged counts the springs and weights that the current combination
// changes, once.
func (w *scan) partsChanged() int {
	if w.changed < 0 {
		w.changed = w.change.parts(w.fitAt, w.t.weights)
	}
	return w.changed
}

// rises reports whether both sweeps' values rise from point to point.
func (w *scan) rises() bool {
	return w.t.leastStep(w.y) > 0 && w.t.leastStep(w.yF) > 0
}

// steady scores the current parts where both sweeps are steady everywhere.
func (w *scan) steady(best *score, reach float64) {
	t, r := w.t, &w.r
	r.allIn, r.leaves = w.y[t.fill:], w.yF[t.fill:]
	t.invert(r.rise, w.nodes.omega2, w.y[:t.fill])
	r.fall = r.rise
	if !t.smooth {
		r.fall = w.fall
		t.invert(r.fall, w.nodes.omega2, w.yF[:t.fill])
	}
	r.sum(&w.nodes, w.hasBand)
	w.settle(best, r, w.reachable[0], w.reachable[1], reach)
}

// snapping scores the current parts where a sweep is not steady everywhere: the
// falling sweep then depends on where it begins, so each travel is read anew.
// Where inside a cell a curve turns over the table cannot tell: a travel that ends
// in that cell is left to the exact curve.
func (w *scan) snapping(reach float64) score {
	t, r := w.t, &w.r
	r.allIn, r.leaves, r.fall = w.allIn, w.yF[t.fill:], w.fall
	t.crest(r.allIn, w.y)
	if !w.snap {
		_, after := t.leap(w.y, w.driveLo, w.driveHi)
		reach = min(reach, after)
	}
	t.invertRising(r.rise, w.nodes.omega2, w.y)
	var s, best score
	for j := w.reachable[0]; j < w.reachable[1]; j++ {
		if w.travel[j] > reach {
			break
		}
		cell := t.cell[j]
		back, snaps := t.trough(w.yF, cell, max(w.yF[t.fill+j], w.yF[cell]), w.driveLo, w.driveHi)
		if back < w.back || snaps && !w.snap {
			continue
		}
		t.invertFalling(r.fall, w.nodes.omega2, w.yF, w.travel[j], cell, w.yF[t.fill+j])
		r.sum(&w.nodes, w.hasBand)
		if w.settle(&s, r, j, j+1, reach); s.ok && (!best.ok || w.prefers(&s, &best)) {
			best = s
		}
	}
	return best
}

// candidate is the current combination set up in a given way.
func (w *scan) candidate(s score) candidate {
	c := candidate{changed: w.partsChanged(), weights: w.t.weights, travel: s.travel, static: s.static}
	c.first, c.second = s.order(w.bandFirst)
	if w.slotCounts && !w.slotKept[s.travel] {
		c.changed++
	}
	for i := range w.p.Positions {
		f := w.t.fits[i][w.at[i]]
		c.springs[i], c.posts[i] = int32(f.spring), int32(f.post)
	}
	return c
}

// offer hands a scored combination to the list.
func (w *scan) offer(s score) {
	if first, _ := s.order(w.bandFirst); w.kept.full() && first > w.kept.list[w.kept.limit-1].first {
		return
	}
	c := w.candidate(s)
	w.kept.add(&c)
}
