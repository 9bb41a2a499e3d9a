package learned

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"example.org/bobweight/flyweights"
)

// column is a kind of spring, at one place where the places differ.
type column struct {
	kind  string
	place int // anyPlace where all places are alike
}

const anyPlace = -1

// layout says what the runs have in common: the names in them and who shares what.
type layout struct {
	set     *Settings
	places  int
	columns []column
	weights []string // the first is the reference
	stops   []string // the first is the reference
	clamps  []string // label of each position; those without a name of their own run
	statics []prior  // of the static timing of each, crank degrees; of the turn where it is measured
	turned  []int    // position from which each was reached by a measured turn, -1 for none
	aligned []int    // stop by which each is aligned: that of its first run
	tachs   []string // the first is the reference
	apart   bool     // runs differ in the number of springs: drag is a column of its own
	falls   bool     // readings in both directions: the width between them is fitted
	differs bool     // some run has a difference
	runs    []wiring
	obs     []observed
}

// wiring is a run in terms of the layout.
type wiring struct {
	springs                   []string  // kind at each place
	counts                    []float64 // springs of each column
	weights, stop, clamp, tac int
	from, to                  int     // its readings
	directions                [2]bool // whether there are rising and falling ones
	lowRPM, highRPM           float64 // of its readings
	lowDeg, highDeg           float64
	other                     difference
}

// difference is what a run after a change may have other than the runs before, by a
// factor whose logarithm is the layout's last own unknown.
type difference struct {
	spring string // kind whose moment differs
	weights,
	tachometer bool
}

// differ lets a run have a difference, by any factor.
func (l *layout) differ(run int, d difference) {
	l.differs, l.runs[run].other = true, d
}

// difference is the prior of the logarithm of the factor.
func (l *layout) difference() prior {
	if slices.ContainsFunc(l.runs, func(w wiring) bool { return w.other.spring != "" }) {
		return anySpring
	}
	return prior{sd: anyDifference}
}

// observed is one reading.
type observed struct {
	rpm, deg           float64
	sigmaRPM, sigmaDeg float64
	falling            bool
	run, index         int // where it came from
}

func newLayout(runs []Run, s *Settings) (*layout, error) {
	if err := checkRuns(runs, s); err != nil {
		return nil, err
	}
	l := &layout{set: s, places: len(runs[0].Springs)}
	var directions [2]bool
	for i := range runs {
		l.apart = l.apart || count(runs[i].Springs) != count(runs[0].Springs)
		l.add(&runs[i], i)
		for d, any := range l.runs[i].directions {
			directions[d] = directions[d] || any
		}
	}
	l.falls = directions[0] && directions[1]
	// What was measured may be asked for although no run has it.
	for _, name := range slices.Sorted(maps.Keys(s.Masses)) {
		l.weights, _ = place(l.weights, name)
	}
	for _, name := range slices.Sorted(maps.Keys(s.Travels)) {
		l.stops, _ = place(l.stops, name)
	}
	l.clampPriors(runs)
	for i := range l.runs {
		for len(l.runs[i].counts) < len(l.columns) {
			l.runs[i].counts = append(l.runs[i].counts, 0)
		}
	}
	l.longestFirst()
	l.realign()
	return l, s.checkKnown(l.stops, l.clamps, l.weights)
}

// add takes a run into the layout: its springs' columns, its labels and its readings.
func (l *layout) add(r *Run, i int) {
	w := wiring{springs: r.Springs}
	for p, kind := range r.Springs {
		if kind == "" {
			continue
		}
		c := l.column(kind, p)
		k := slices.Index(l.columns, c)
		if k < 0 {
			k = len(l.columns)
			l.columns = append(l.columns, c)
		}
		for len(w.counts) <= k {
			w.counts = append(w.counts, 0)
		}
		w.counts[k]++
	}
	l.weights, w.weights = place(l.weights, r.Weights)
	l.stops, w.stop = place(l.stops, r.Stop)
	l.tachs, w.tac = place(l.tachs, r.Tachometer)
	l.clamps, w.clamp = place(l.clamps, clampOf(r, i))
	l.read(&w, r, i)
	l.runs = append(l.runs, w)
}

// read takes the readings of a run that were taken with the hose off.
func (l *layout) read(w *wiring, r *Run, i int) {
	w.from = len(l.obs)
	w.lowRPM, w.lowDeg, w.highRPM, w.highDeg = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for k, x := range r.Readings {
		if x.HoseOn {
			continue
		}
		o := observed{
			rpm: x.RPM, deg: x.Degrees, falling: x.Direction == flyweights.Falling, run: i, index: k,
			sigmaRPM: cmp.Or(x.SigmaRPM, l.set.SigmaRPM), sigmaDeg: cmp.Or(x.SigmaDegrees, l.set.SigmaDegrees),
		}
		w.directions[x.Direction] = true
		w.lowRPM, w.highRPM = math.Min(w.lowRPM, o.rpm), math.Max(w.highRPM, o.rpm)
		w.lowDeg, w.highDeg = math.Min(w.lowDeg, o.deg), math.Max(w.highDeg, o.deg)
		l.obs = append(l.obs, o)
	}
	w.to = len(l.obs)
}

// clampPriors says what is known beforehand of the static timing at each position of the
// clamp, or of the turn to it.
func (l *layout) clampPriors(runs []Run) {
	l.statics, l.turned = make([]prior, len(l.clamps)), slices.Repeat([]int{-1}, len(l.clamps))
	for i := range runs {
		c, r := l.runs[i].clamp, &runs[i]
		if l.turned[c] >= 0 {
			continue
		}
		l.statics[c] = priorStatic
		if r.Bench {
			l.statics[c] = priorBench
			continue
		}
		if k := known(l.set.Statics, r.Clamp); k != nil {
			l.statics[c] = prior{mean: k.Value, sd: k.Sigma}
		} else if from := slices.Index(l.clamps[:c], r.From); r.From != "" && from >= 0 {
			l.statics[c], l.turned[c] = prior{mean: r.Turned.Value, sd: r.Turned.Sigma}, from
		}
	}
}

// realign notes the stop of each clamp position's first run.
func (l *layout) realign() {
	l.aligned = make([]int, len(l.clamps))
	for i := len(l.runs) - 1; i >= 0; i-- {
		l.aligned[l.runs[i].clamp] = l.runs[i].stop
	}
}

// column is the column of a kind at a place.
func (l *layout) column(kind string, place int) column {
	if l.set.PlacesDiffer {
		return column{kind, place}
	}
	return column{kind, anyPlace}
}

// clampOf is the label of a run's clamp position. A distributor machine's zero is
// never that of an engine.
func clampOf(r *Run, i int) string {
	switch {
	case r.Clamp == "":
		return fmt.Sprintf("\x00%d", i)
	case r.Bench:
		return "\x00bench " + r.Clamp
	}
	return r.Clamp
}

func count(springs []string) int {
	n := 0
	for _, s := range springs {
		if s != "" {
			n++
		}
	}
	return n
}

// longestFirst makes the stop with the widest readings the reference, so that the
// shares are seen over as much of the reference travel as can be.
func (l *layout) longestFirst() {
	span := make([]float64, len(l.stops))
	for _, w := range l.runs {
		span[w.stop] = math.Max(span[w.stop], w.highDeg-w.lowDeg)
	}
	best := 0
	for i := range span {
		if span[i] > span[best] {
			best = i
		}
	}
	l.stops[0], l.stops[best] = l.stops[best], l.stops[0]
	for i := range l.runs {
		switch l.runs[i].stop {
		case 0:
			l.runs[i].stop = best
		case best:
			l.runs[i].stop = 0
		}
	}
}
