package recipes

import (
	"cmp"
	"slices"
	"sort"
)

// Steps within which two recipes count as equal on the front: far below what a
// timing light or a dynamometer shows. They bound the length of the front and
// make it independent of the order in which recipes are found.
const (
	torqueStep    = 1e-5 // of the torque
	deviationStep = 0.05 // crank degrees
)

// front keeps the recipes that no other beats in torque given up, deviation from
// the band and parts changed at once. For each number of changes it is a
// staircase: torque rising, deviation falling.
type front struct{ levels [][]point }

// point is a candidate in steps of its objectives.
type point struct {
	torque, deviation int
	candidate
}

func newFront() *front { return &front{levels: make([][]point, maxPositions+3)} }

// steps rounds an objective, 0 or more, to whole steps.
func steps(x, step float64) int { return int(min(x/step, 1e9) + 0.5) }

// beaten reports whether the front has a point at least as good with fewer
// changes, or with as many and truly better: then nothing that is not better
// than these values can enter.
func (f *front) beaten(torque, deviation, changed int) bool {
	for level := range changed + 1 {
		// Of all points with at most this torque the last deviates least.
		list := f.levels[level]
		i := sort.Search(len(list), func(i int) bool { return list[i].torque > torque }) - 1
		if i < 0 || list[i].deviation > deviation {
			continue
		}
		if level < changed || list[i].torque < torque || list[i].deviation < deviation {
			return true
		}
	}
	return false
}

// add offers a point to the front.
func (f *front) add(p point) {
	if f.beaten(p.torque, p.deviation, p.changed) {
		return
	}
	list := f.levels[p.changed]
	i, found := slices.BinarySearchFunc(list, p.torque, func(q point, t int) int { return cmp.Compare(q.torque, t) })
	if found && list[i].deviation == p.deviation {
		if p.candidate.compare(&list[i].candidate) < 0 {
			list[i].candidate = p.candidate
		}
		return
	}
	f.levels[p.changed] = slices.Insert(list, i, p)
	for level := p.changed; level < len(f.levels); level++ {
		f.levels[level] = slices.DeleteFunc(f.levels[level], func(q point) bool {
			return q.torque >= p.torque && q.deviation >= p.deviation &&
				(q.torque > p.torque || q.deviation > p.deviation || q.changed > p.changed)
		})
	}
}

// merge adds the points of another front.
func (f *front) merge(g *front) {
	for _, list := range g.levels {
		for _, p := range list {
			f.add(p)
		}
	}
}

// frontier offers the settings first to last of one travel to the front. s is
// the best of them by the ranking; with one objective it is the only one that
// counts, with two every setting may stand between them.
func (w *scan) frontier(r *reading, clipped, first, last int, s score) {
	if !w.hasMBT {
		s.torque = 0
	}
	// What is best by the ranking bounds that objective; the other may be 0.
	torque, deviation := steps(s.torque, torqueStep), steps(s.deviation, deviationStep)
	switch {
	case !w.hasBand || !w.hasMBT:
	case w.bandFirst:
		torque = 0
	default:
		deviation = 0
	}
	if w.front.beaten(torque, deviation, w.leastChanged) {
		return
	}
	changed := w.partsChanged()
	if w.slotCounts && !w.slotKept[s.travel] {
		changed++
	}
	if !w.hasBand || !w.hasMBT {
		w.enter(s, changed)
		return
	}
	// The ideal of both objectives, each with its own best setting.
	t := w.travel[s.travel]
	other := w.timing(r, clipped, t, first, last, !w.bandFirst)
	if w.front.beaten(steps(min(s.torque, other.torque), torqueStep), steps(min(s.deviation, other.deviation), deviationStep), changed) {
		return
	}
	for k := first; k <= last; k++ {
		one := w.timing(r, clipped, t, k, k, w.bandFirst)
		one.travel = s.travel
		w.enter(one, changed)
	}
}

// enter offers one recipe to the front.
func (w *scan) enter(s score, changed int) {
	p := point{torque: steps(s.torque, torqueStep), deviation: steps(s.deviation, deviationStep)}
	if !w.front.beaten(p.torque, p.deviation, changed) {
		p.candidate = w.candidate(s)
		w.front.add(p)
	}
}
