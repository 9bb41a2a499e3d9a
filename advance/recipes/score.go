package recipes

import "math"

// score is a way to set up one choice of parts. torque is the share given up,
// or where there is no MBT the mean square distance from the band's middle;
// deviation is by how many crank degrees the band is left.
type score struct {
	torque, deviation float64
	travel, static    int
	ok                bool
}

// better compares two ways by their objectives alone.
func (s *score) better(o *score, bandFirst bool) bool {
	a, b := s.order(bandFirst)
	c, d := o.order(bandFirst)
	return a < c || a == c && b < d
}

// Steps to which the objectives of exact curves are rounded before they are
// compared. Stations of a curve move with its travel and shift both by up to 1e-8,
// so without rounding a tie in the first would be decided by chance, never by the
// second. No instrument comes near these steps.
const (
	tieTorque    = 1e-7 // of the torque
	tieDeviation = 1e-4 // crank degrees
)

// ties rounds objectives for comparison, the more important first. Without MBT
// torque stands for the root mean square distance from the band's middle.
func (q *plan) ties(torque, deviation float64) (first, second float64) {
	step := tieTorque
	if !q.hasMBT {
		step = tieDeviation
	}
	torque, deviation = math.Round(torque/step), math.Round(deviation/tieDeviation)
	if q.bandFirst {
		return deviation, torque
	}
	return torque, deviation
}

// prefers reports whether one way is to be chosen before another with the same
// parts: by the objectives, and where they are alike the one that leaves the slot
// alone, and then the one that comes first.
func (q *plan) prefers(a, b *score) bool {
	first, second := q.ties(q.objective(a), a.deviation)
	than, then := q.ties(q.objective(b), b.deviation)
	if first != than || second != then {
		return first < than || first == than && second < then
	}
	return q.slotKept[a.travel] && !q.slotKept[b.travel]
}

// objective is the torque given up, or what stands for it without MBT.
func (q *plan) objective(s *score) float64 {
	if q.hasMBT {
		return s.torque
	}
	return math.Sqrt(s.torque)
}

// order returns the objectives in order of importance.
func (s *score) order(bandFirst bool) (first, second float64) {
	if bandFirst {
		return s.deviation, s.torque
	}
	return s.torque, s.deviation
}

// reading is a recipe's mechanical advance at the nodes, without a stop, and
// what follows from it alone. Advance rises with speed, so a shorter travel
// clips the nodes from some place on, and sums up to there plus prepared sums
// behind are all that another travel needs.
type reading struct {
	rise, fall []float64 // crank degrees at each node, rising and falling sweep
	allIn      []float64 // omega^2 at which each travel setting is reached, rising
	leaves     []float64 // omega^2 at which it is left, falling
	y, yy      []float64 // sums of coef*(x-ref) and coef*(x-ref)^2 before node i
	top        []float64 // least of top - x before node i, falling sweep
	low, high  []float64 // largest low - x and x - high before node i
}

func newReading(nodes, travels int) reading {
	r := reading{allIn: make([]float64, travels), leaves: make([]float64, travels), rise: make([]float64, nodes), fall: make([]float64, nodes)}
	for _, f := range []*[]float64{&r.y, &r.yy, &r.top, &r.low, &r.high} {
		*f = make([]float64, nodes+1)
	}
	r.top[0], r.low[0], r.high[0] = math.Inf(1), math.Inf(-1), math.Inf(-1)
	return r
}

// sum fills the sums over the nodes.
func (r *reading) sum(n *nodes, band bool) {
	rise := r.rise
	size := len(rise)
	// Lengths that the compiler can see spare it a check at every step.
	fall, ref, coef, limit := r.fall[:size], n.ref[:size], n.coef[:size], n.top[:size]
	ys, yys, tops := r.y[1:][:size], r.yy[1:][:size], r.top[1:][:size]
	y, yy, top := 0.0, 0.0, math.Inf(1)
	for i, x := range rise {
		d := x - ref[i]
		c := coef[i] * d
		y += c
		yy += c * d
		if t := limit[i] - fall[i]; t < top {
			top = t
		}
		ys[i], yys[i], tops[i] = y, yy, top
	}
	if band {
		for i, x := range rise {
			r.low[i+1], r.high[i+1] = max(r.low[i], n.low[i]-x), max(r.high[i], x-n.high[i])
		}
	}
}

// settle writes to best the best travel among settings from to to-1, none beyond
// reach, and the static timing that goes with it.
func (w *scan) settle(best *score, r *reading, from, to int, reach float64) {
	*best = score{}
	q := w.plan
	n := &q.nodes
	c, f := 0, 0 // nodes that the travel does not clip, rising and falling
	oneSweep := &r.fall[0] == &r.rise[0]
	for j := from; j < to; j++ {
		t := q.travel[j]
		if t > reach {
			break
		}
		if all := r.allIn[j]; all < q.early || all > q.late {
			continue
		}
		for c < len(r.rise) && r.rise[c] < t {
			c++
		}
		if oneSweep {
			f = c
		}
		for f < len(r.fall) && r.fall[f] < t {
			f++
		}
		lo, hi := q.sLow[j], min(q.sHigh[j], r.top[f], n.after.top[f]-t)
		if n.idle >= 0 {
			lo = max(lo, q.idle.Low-min(t, r.rise[n.idle]))
			hi = min(hi, q.idle.High-min(t, r.fall[n.idle]))
		}
		if q.knock != nil {
			hi = min(hi, q.atStop(min(r.allIn[j], r.leaves[j]), t))
		}
		first, last := q.settings(lo, hi)
		if first > last {
			continue
		}
		s := q.timing(r, c, t, first, last, q.bandFirst)
		s.travel, s.ok = j, true
		if !best.ok || s.better(best, q.bandFirst) || q.slotKept[j] && q.prefers(&s, best) {
			*best = s
		}
	}
}

// timing finds the best static setting from first to last for a travel t that
// clips the nodes from c on. The objective is a parabola in the static timing,
// and leaving the band is the upper envelope of two straight lines, so both
// minima are closed forms and only their neighbours among the settings count.
func (q *plan) timing(r *reading, c int, t float64, first, last int, bandFirst bool) score {
	if q.nodes.lost != nil {
		return q.timingByTable(r, t, first, last, bandFirst)
	}
	after := &q.nodes.after
	weight := after.c[0]
	y := r.y[c] + t*after.c[c] - after.cr[c]
	yy := r.yy[c] + t*(t*after.c[c]-2*after.cr[c]) + after.crr[c]
	if !q.hasBand {
		k := q.nearest(-y/weight, first, last)
		s := q.static.at(k)
		return score{torque: max(0, yy+s*(2*y+s*weight)), static: k}
	}
	low, high := max(r.low[c], after.low[c]-t), max(r.high[c], t-after.high[c])
	at := func(k int) score {
		s := q.static.at(k)
		return score{torque: max(0, yy+s*(2*y+s*weight)), deviation: max(0, low-s, s+high), static: k}
	}
	if !bandFirst {
		return at(q.nearest(-y/weight, first, last))
	}
	// Settings that keep the band, if any; else the two next to its middle.
	a, b := q.settings(low, -high)
	a, b = max(a, first), min(b, last)
	if a <= b {
		return at(q.nearest(-y/weight, a, b))
	}
	k := q.nearest((low-high)/2, first, last)
	s := at(k)
	for _, other := range [2]int{k - 1, k + 1} {
		if other >= first && other <= last {
			if o := at(other); o.better(&s, true) {
				s = o
			}
		}
	}
	return s
}

// nearest returns the setting from first to last that is nearest to a timing.
func (q *plan) nearest(s float64, first, last int) int {
	k := (s - q.static.Low) * q.perStep
	switch {
	case !(k > float64(first)):
		return first
	case k >= float64(last):
		return last
	}
	return int(k + 0.5)
}

// timingByTable tries every setting: a measured loss need not be convex.
func (q *plan) timingByTable(r *reading, t float64, first, last int, bandFirst bool) score {
	var best score
	n := &q.nodes
	for k := first; k <= last; k++ {
		s := q.static.at(k)
		torque, deviation := 0.0, 0.0
		for i, x := range r.rise {
			spark := s + min(x, t)
			if d := n.share[i]; d > 0 {
				torque += d * n.lost[i].at(spark-n.ref[i])
			}
			deviation = max(deviation, n.low[i]-spark, spark-n.high[i])
		}
		if o := (score{torque: torque, deviation: deviation, static: k}); k == first || o.better(&best, bandFirst) {
			best = o
		}
	}
	return best
}
