package recipes

import (
	"math"
	"sync/atomic"
)

// Fits are sorted by strength, so neighbours are alike. For families of them the
// least and the greatest row are kept, and a family whose bound is worse than the
// list and the front at hand is passed over; the answer is that of the plain loop.
//
// Why nothing is lost. Every member's row lies between slow and fast, the sums of
// the envelopes, point by point and at every travel. So
//
//   - it starts no later and is all in no later than fast, no earlier than slow;
//   - its rising advance at a node, where omega^2 first exceeds the node's, lies
//     between that of fast and that of slow: of two rows the greater one has its
//     first crossing no further out. A stop cuts both alike;
//   - its falling advance is no less than its rising one, as its falling row lies
//     below, so limits and knock leave it no more static timing than the rising
//     advance of fast. (A spring that pushes outwards may turn that round where
//     friction goes with the pull: such drawers are not bounded.)
//   - whatever its static timing, at each node it stands at least as far from MBT
//     as the nearest spark between the two, and gives up at least as much: by the
//     parabola, or by the valley below a table of losses. Of the parabolas' sum,
//     which is convex, a tangent is below; of the valleys every setting is tried.
//     It leaves the band by no less than the least of three straight lines.
//
// A member is passed over only if that is truly more than the objective of the
// worst of a full list, which ends no better than it is now, and no better than a
// point of the front with as few changes. Rounding is in the eases: 1e-6 crank
// degrees of static timing, 1e-9 of the band, nodes.hair of the torque.

// Sizes of families: the large one is tried first.
const (
	largeFamily = 128
	smallFamily = 16
)

// family holds the envelopes of equal spans of fits, row after row.
type family struct {
	size        int
	least, most []float64
}

// newFamilies draws the envelopes of the rows of one position.
func newFamilies(rows []float64, width int) []family {
	var all []family
	n := len(rows) / width
	for _, size := range []int{largeFamily, smallFamily} {
		if n < size {
			continue
		}
		f := family{size: size}
		for from := 0; from < n; from += size {
			least := append([]float64(nil), rows[from*width:(from+1)*width]...)
			most := append([]float64(nil), least...)
			for i := from + 1; i < min(from+size, n); i++ {
				for k, v := range rows[i*width : (i+1)*width] {
					least[k], most[k] = min(least[k], v), max(most[k], v)
				}
			}
			f.least, f.most = append(f.least, least...), append(f.most, most...)
		}
		all = append(all, f)
	}
	return all
}

// bar is the objective that the workers together have reached: the worst of a
// full list. What is truly worse cannot enter the list of any of them.
type bar struct{ bits atomic.Uint64 }

func newBar() *bar {
	b := &bar{}
	b.bits.Store(math.Float64bits(math.Inf(1)))
	return b
}

func (b *bar) get() float64 { return math.Float64frombits(b.bits.Load()) }

func (b *bar) lower(x float64) {
	for {
		old := b.bits.Load()
		if x >= math.Float64frombits(old) || b.bits.CompareAndSwap(old, math.Float64bits(x)) {
			return
		}
	}
}

// spread is what a family's envelopes say of its members.
type spread struct {
	slow, fast       []float64 // omega^2 rows: least and greatest
	allSlow, allFast []float64 // omega^2 of all-in for each travel setting
	least, most      []float64 // advance at each node: of the fast row, of the slow row
	from, to         []float64 // static timings that would meet ref at each node
}

func newSpread(width, nodes, travels int) spread {
	row := func(n int) []float64 { return make([]float64, n) }
	return spread{row(width), row(width), row(travels), row(travels), row(nodes), row(nodes), row(nodes), row(nodes)}
}

// passOver returns how many fits from i on need not be looked at, 0 if none.
func (w *scan) passOver(position, i int) int {
	for f := range w.t.families[position] {
		fam := &w.t.families[position][f]
		if i%fam.size == 0 && w.hopeless(position, fam, i/fam.size) {
			return min(fam.size, len(w.t.fits[position])-i)
		}
	}
	return 0
}

// hopeless reports whether no member of a family can keep the limits and enter
// the list or the front.
func (w *scan) hopeless(position int, fam *family, i int) bool {
	t, s, n := w.t, &w.spread, &w.nodes
	o := i * t.width
	if w.sum[position][0]+fam.most[o] < w.start {
		return true
	}
	first := w.bar.get()
	if math.IsInf(first, 1) {
		return false
	}
	plus(s.slow, w.sum[position], fam.least[o:o+t.width])
	plus(s.fast, w.sum[position], fam.most[o:o+t.width])
	t.crest(s.allSlow, s.slow)
	t.crest(s.allFast, s.fast)
	t.invertRising(s.least, n.omega2, s.fast)
	t.invertRising(s.most, n.omega2, s.slow)
	for j := w.reachable[0]; j < w.reachable[1]; j++ {
		if s.allFast[j] < w.early || s.allSlow[j] > w.late {
			continue
		}
		if !w.hopelessTravel(j, first) {
			return false
		}
	}
	return true
}

// hopelessTravel is hopeless for one travel setting.
func (w *scan) hopelessTravel(j int, first float64) bool {
	s, n, t := &w.spread, &w.nodes, w.travel[j]
	lo, hi := w.sLow[j]-1e-6, w.sHigh[j]+1e-6
	if w.most != nil { // no member meets the stop later than the fast row
		hi = min(hi, w.most.at(max(0, s.allFast[j]))-t+1e-6)
	}
	low, high := math.Inf(-1), math.Inf(-1)
	for i := range s.least {
		a, b := min(s.least[i], t), min(s.most[i], t)
		hi = min(hi, n.top[i]-a+1e-6)
		s.from[i], s.to[i] = n.ref[i]-b, n.ref[i]-a
		low, high = max(low, n.low[i]-b), max(high, a-n.high[i])
	}
	if lo > hi {
		return true
	}
	if w.bandFirst {
		// Leaving the band below falls and above rises with the static timing.
		deviation := max(0, (low+high)/2, low-hi, lo+high)
		return w.worse(0, deviation-1e-9, deviation-1e-9, first)
	}
	least := w.leastTorque
	if n.lost != nil {
		least = w.leastByTable
	}
	torque := least(lo, hi, first)
	return w.worse(torque, 0, torque, first)
}

// worse reports whether bounds on the objectives keep a family out of the list
// and of the front.
func (w *scan) worse(torque, deviation, ranked, first float64) bool {
	if !(ranked > first) {
		return false
	}
	return w.front == nil || w.front.beaten(steps(max(0, torque), torqueStep), steps(max(0, deviation), deviationStep), w.leastChanged)
}

// leastTorque bounds from below the torque given up with any static timing from
// lo to hi: a convex sum of squared distances from the intervals that would meet
// MBT. Newton's method comes near the minimum, and the tangent at the last place
// where the sum was taken stays below it, near or not; it ends early where the
// sum is not above the objective to beat.
func (w *scan) leastTorque(lo, hi, first float64) float64 {
	next := min(max((lo+hi)/2, lo), hi)
	var s, f, slope, curve float64
	for range 6 {
		s = next
		f, slope, curve = w.torqueAt(s)
		if f <= first || curve == 0 {
			return f
		}
		next = min(max(s-slope/curve, lo), hi)
		if math.Abs(next-s) < 1e-3 {
			break
		}
	}
	end := lo
	if slope < 0 {
		end = hi
	}
	return w.nodes.under(f + slope*(end-s))
}

// leastByTable is leastTorque where the loss is a table: at each setting the
// least that the valleys below the table have for the spread of each node.
func (w *scan) leastByTable(lo, hi, first float64) float64 {
	n, s := &w.nodes, &w.spread
	least := math.Inf(1)
	from, to := w.settings(lo, hi)
	for k := from; k <= to; k++ {
		static, sum := w.static.at(k), 0.0
		for i, d := range n.duty {
			if d > 0 {
				// The spark stands off MBT by static - to up to static - from.
				off := min(max(n.bottom[i], static-s.to[i]), static-s.from[i])
				sum += d * n.valley[i].at(off)
			}
		}
		if least = min(least, sum); least <= first {
			break
		}
	}
	return n.under(least)
}

// torqueAt returns the bound's sum at a static timing with its derivatives.
func (w *scan) torqueAt(s float64) (f, slope, curve float64) {
	for i, c := range w.nodes.coef {
		d := 0.0
		switch {
		case s < w.spread.from[i]:
			d = s - w.spread.from[i]
		case s > w.spread.to[i]:
			d = s - w.spread.to[i]
		default:
			continue
		}
		f += c * d * d
		slope += 2 * c * d
		curve += 2 * c
	}
	return f, slope, curve
}
