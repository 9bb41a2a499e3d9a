package job

import (
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/bobweight/advance/job/internal/schema"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/flyweights"
)

// run is a run as it was understood. Crank degrees and engine rpm.
type run struct {
	label   string
	machine bool     // static timing and total are of the machine's own zero
	hose    bool     // hose on at every reading
	springs []string // place by place, "" for an empty one; nil where not named
	weights string
	slot    flyweights.Slot // zero where not measured
	travel  float64         // that the slot allows; 0 where not measured
	clamp   string          // name of the clamp's position
	from    string          // position from which it was turned there by a known amount; empty where nobody knows
	turned  readings.Known  // from there, advance positive
	moved   *float64        // how far the clamp was moved since the run before; nil where nobody knows
	dwell   float64         // distributor degrees; 0 where not noted
	tacho   string
	list    []readings.Reading
}

// combination is what was fitted, as package learned names it.
func (x *run) combination() learned.Combination {
	stop := "as found"
	if x.slot.Length > 0 || x.slot.Pin > 0 {
		stop = fmt.Sprintf("slot %.2f mm with %.2f mm in it", x.slot.Length*1e3, x.slot.Pin*1e3)
	}
	return learned.Combination{Springs: x.springs, Weights: x.weights, Stop: stop}
}

// adopt takes what the newest run says of parts and slot as the present state of the
// distributor.
func (j *Job) adopt(r *validator, f *schema.File) {
	for i := range f.Runs {
		x, at, d := &f.Runs[i], fmt.Sprintf("runs[%d]", i), &f.Distributor
		put := func(from, to string, set func()) {
			if r.given(at+from) && !r.misspelt(at+from) {
				r.lines[to] = r.lines[at+from]
				set()
			}
		}
		put(".springs", "distributor.springs", func() { d.Springs = x.Springs })
		put(".weights", "distributor.weights", func() { d.Weights = x.Weights })
		if r.given("distributor.slot") {
			put(".slot_length", "distributor.slot.length", func() { d.Slot.Length = x.Slot })
			put(".bush", "distributor.slot.pin", func() { d.Slot.Pin = x.Bush })
		}
	}
}

// mostRuns is how many runs a job may hold: as many as are fitted together in the time
// that somebody waits.
const mostRuns = 24

// readRuns reads the runs; base is the distributor before the first of them.
func (j *Job) readRuns(r *validator, f *schema.File, base *schema.Distributor, open opener) {
	if len(f.Runs) == 0 {
		if r.given("runs") {
			r.fail("runs", "is empty; leave it out, or give a run")
		}
		r.lack("runs")
		return
	}
	if len(f.Runs) > mostRuns {
		r.fail("runs", "there are %d of them, valid is at most %d", len(f.Runs), mostRuns)
		return
	}
	before := run{weights: base.Weights, clamp: "clamp 0", tacho: "tachometer"}
	if r.given("distributor.springs") && base.Springs != nil {
		before.springs = places(base.Springs)
	}
	if r.given("distributor.slot") {
		before.slot = flyweights.Slot{Length: base.Slot.Length.SI(), Pin: base.Slot.Pin.SI(), Radius: base.Slot.Radius.SI()}
	}
	last := time.Time{}
	for i := range f.Runs {
		at, x := fmt.Sprintf("runs[%d]", i), &f.Runs[i]
		one := j.readRun(r, at, i, x, before, open)
		if r.given(at + ".date") {
			date, err := time.Parse(time.DateOnly, x.Date)
			if err != nil {
				r.fail(at+".date", "is %q, valid is a date such as \"2026-05-31\"", x.Date)
			} else if date.Before(last) {
				r.fail(at+".date", "is %s, before that of the run above it; runs stand in order of time", x.Date)
			}
			last = date
		}
		j.runs = append(j.runs, one)
		before = one
	}
	j.presentRun(r)
}

// places names the springs place by place, "" for an empty one.
func places(names []string) []string {
	out := slices.Clone(names)
	for i, name := range out {
		if name == none {
			out[i] = ""
		}
	}
	return out
}

// readRun reads one run; what it leaves out is as before.
func (j *Job) readRun(r *validator, at string, i int, x *schema.Run, before run, open opener) run {
	one := before
	one.label, one.moved, one.list = x.Label, nil, nil
	if !r.given(at + ".label") {
		one.label = fmt.Sprintf("run %d", i+1)
	}
	r.text(at+".label", one.label, 60)
	switch x.Where {
	case "", "engine":
		one.machine = false
	case "machine":
		one.machine = true
	default:
		r.fail(at+".where", "is %q, valid is \"engine\" or \"machine\"", x.Where)
	}
	one.hose = x.Hose
	if r.given(at + ".springs") {
		one.springs = places(x.Springs)
		if n, was := len(one.springs), len(before.springs); was > 0 && n != was && r.sound(at+".springs") {
			r.fail(at+".springs", "names %s, before it were %d; write \"none\" for an empty place", counted(n, "spring"), was)
		}
	}
	if r.given(at + ".weights") {
		one.weights = x.Weights
	}
	if r.given(at + ".tachometer") {
		one.tacho = x.Tachometer
	}
	one.slot.Length = betweenOr(r, at+".slot_length", x.Slot, quantity.Length(before.slot.Length), mm(1), mm(80))
	one.slot.Pin = betweenOr(r, at+".bush", x.Bush, quantity.Length(before.slot.Pin), mm(0.5), mm(40))
	one.travel = 0
	if travel, err := one.slot.Travel(); err == nil {
		one.travel = j.Drive.CrankDegrees(travel)
	}
	j.readClamp(r, at, i, x, &one)
	if r.given(at + ".dwell") {
		one.dwell = r.degrees(at+".dwell", x.Dwell, 5, 180) / float64(r.drive)
	}
	noted := len(j.remarks)
	one.follow(&before, j)
	one.list = j.readList(r, at+".readings", x.Readings, x.ReadingsCSV, open, one.machine)
	if one.machine {
		j.fromRing(&one)
	}
	for k := range j.remarks[noted:] {
		j.remarks[noted+k] = one.label + ", " + j.remarks[noted+k]
	}
	if one.hose {
		for k := range one.list {
			one.list[k].HoseOn = true
		}
	}
	return one
}

// fromRing counts the readings of a machine from a round place of its ring of degrees,
// where its zero lies far off, and notes from which.
func (j *Job) fromRing(x *run) {
	low := math.Inf(1)
	for _, one := range x.list {
		low = min(low, one.Degrees)
	}
	const step = 10.0 // crank degrees
	if from := step * math.Floor(low/step); math.Abs(from) >= 2*step && !math.IsInf(from, 0) {
		for i := range x.list {
			x.list[i].Degrees -= from
		}
		j.remarks = append(j.remarks, fmt.Sprintf("the readings are counted from %.0f deg crank (%.4g deg dist) on the machine's ring", from, 180/math.Pi*j.Drive.ShaftRadians(from)))
	}
}

// readClamp reads where the clamp stood. A change of dwell moves the timing: half a
// distributor degree for each degree of dwell less (geometry of a symmetric cam).
func (j *Job) readClamp(r *validator, at string, i int, x *schema.Run, one *run) {
	zero := 0.0
	switch x.Clamp {
	case "", "unknown":
	case "unmoved":
		one.moved = &zero
	case "moved":
		if r.given(at + ".clamp_moved_by") {
			by := r.degrees(at+".clamp_moved_by", x.Moved, -60, 60)
			one.moved = &by
		} else {
			r.lack(at + ".clamp_moved_by")
		}
	default:
		r.fail(at+".clamp", "is %q, valid is \"unknown\", \"unmoved\" or \"moved\"", x.Clamp)
	}
	if i == 0 || x.Clamp != "unmoved" || one.machine {
		one.clamp, one.from = fmt.Sprintf("clamp %d", i), ""
	}
	if r.given(at+".clamp_moved_by") && x.Clamp != "moved" {
		r.fail(at+".clamp_moved_by", "goes with \"clamp\": \"moved\"")
	}
}

// turnError is how well a turn of the distributor is known at the least, crank degrees:
// two looks at the mark at one steady speed (common practice, no source).
const turnError = 0.5

// follow notes how the timing stands against that of a run before where the distributor
// was turned by a known amount, or where the dwell tells that it moved.
func (x *run) follow(before *run, j *Job) {
	if x.moved == nil || x.machine || before.machine {
		return
	}
	by := *x.moved + float64(j.Drive)/2*dwellLess(before, x)
	if by == 0 {
		return // the same position, or the same turn from another
	}
	if x.clamp == before.clamp {
		x.clamp += " with another dwell"
	}
	x.from, x.turned = before.clamp, readings.Known{Value: by, Sigma: max(turnError, j.Settings.SigmaDegrees)}
	if before.from != "" { // all turns count from one position
		x.from = before.from
		x.turned = readings.Known{Value: by + before.turned.Value, Sigma: math.Hypot(x.turned.Sigma, before.turned.Sigma)}
	}
}

// presentRun takes the newest run with the hose off as the present state, with what was
// read hose on after it.
func (j *Job) presentRun(r *validator) {
	for i := len(j.runs) - 1; i >= 0; i-- {
		if j.runs[i].hose {
			continue
		}
		j.newest, j.Readings, j.onMachine = i, slices.Clone(j.runs[i].list), j.runs[i].machine
		for _, later := range j.runs[i+1:] {
			j.Readings = append(j.Readings, later.list...)
		}
		j.has.readings = r.enoughReadings("readings", j.Readings)
		return
	}
	r.lack("readings")
}

// sameParts reports whether two runs had the same springs and weights.
func (x *run) sameParts(y *run) bool {
	return slices.Equal(x.springs, y.springs) && x.weights == y.weights
}

// sameSlot reports whether two runs had the same stop.
func (x *run) sameSlot(y *run) bool {
	return math.Abs(x.travel-y.travel) < 1e-9
}
