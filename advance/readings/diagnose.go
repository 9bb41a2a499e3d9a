package readings

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Severities of a [Finding], gravest first.
const (
	Act   = "act"   // something to change, shown by the readings
	Check = "check" // something to look into, which the readings point to
	Note  = "note"  // something to know
)

// Finding is one thing that the readings show, in plain words.
type Finding struct {
	Code     string  // a short fixed name, such as "begun-at-idle"
	Severity string  // [Act], [Check] or [Note]
	Text     string  // one or two sentences with numbers and units
	Size     float64 // how much, in Unit; 0 where there is no size
	Unit     string  // "deg crank", "rpm crank", "mm" or ""
	Evidence string  // the figures that the text rests on
}

// Diagnose returns what the readings show against what is wanted, gravest first
// and within a severity in the order in which one would act. A Result that no fit
// made or a Wanted that has a field outside its range gives one finding that says so.
func Diagnose(r *Result, w Wanted) []Finding {
	err := r.made()
	if err == nil {
		err = w.check()
	}
	if err != nil {
		return []Finding{{Code: "refused", Severity: Act, Text: "No diagnosis: " + err.Error() + "."}}
	}
	w = w.resolved()
	d := &diagnosis{r: r, w: w}
	if d.falls() {
		return d.findings // no curve of an advance mechanism, so nothing else is to be said of it
	}
	d.whole()
	d.idle()
	d.total()
	d.travel()
	d.allIn()
	d.setAtIdle()
	d.sticking()
	d.stages()
	d.listed()
	d.doubtful()
	d.dips()
	d.hose()
	slices.SortStableFunc(d.findings, func(a, b Finding) int { return cmp.Compare(rank(a.Severity), rank(b.Severity)) })
	return d.findings
}

func rank(severity string) int { return slices.Index([]string{Act, Check, Note}, severity) }

type diagnosis struct {
	r        *Result
	w        Wanted
	findings []Finding
}

func (d *diagnosis) add(code, severity string, size float64, unit, evidence, format string, args ...any) {
	d.findings = append(d.findings, Finding{
		Code: code, Severity: severity, Text: fmt.Sprintf(format, args...),
		Size: size, Unit: unit, Evidence: evidence,
	})
}

const (
	degCrank = "deg crank"
	rpmCrank = "rpm crank"
)

// lowest and highest are the outermost speeds that tell of the mechanism.
func (d *diagnosis) lowest() float64  { return d.r.fit.low }
func (d *diagnosis) highest() float64 { return d.r.fit.high }

// idle tells whether the advance has begun at idle and how much of the idle
// reading is mechanical.
func (d *diagnosis) idle() {
	r, w := d.r, d.w
	if r.Model.Slopes == 0 {
		d.add("level", Check, 0, "", "static timing "+r.Static.Text(1, degCrank),
			"The readings from %.0f to %.0f rpm crank show no advance at all: every one lies at about %.1f deg crank. Either they all lie below the start, or all above all-in, or the mechanism is stuck. Take readings further down and further up.",
			d.lowest(), d.highest(), r.Static.Value)
		return
	}
	if r.Static.Bound == AtMost {
		d.add("static-hidden", Act, r.Static.High, degCrank, fmt.Sprintf("lowest reading at %.0f rpm crank; start %s", d.lowest(), r.Start.Text(0, rpmCrank)),
			"No reading shows the static timing: at the lowest speed read, %.0f rpm crank, the advance may already have begun. The static timing is at most %.1f deg crank; how much less, these readings cannot tell. Read at a lower speed, while cranking, or with the weights held.",
			d.lowest(), r.Static.High)
	}
	if w.Idle == 0 {
		return
	}
	if r.Start.Bound != Unknown && r.Start.High < w.Idle && r.Start.Bound != AtLeast {
		d.begun()
		return
	}
	if r.Start.Bound == Interval && r.Start.Low > w.Idle {
		d.add("idle-clear", Note, r.Start.Low-w.Idle, rpmCrank, "start "+r.Start.Text(0, rpmCrank),
			"The advance starts at %.0f rpm crank, at least %.0f rpm above the idle of %.0f: what the light shows at idle is the static timing.", r.Start.Value, r.Start.Low-w.Idle, w.Idle)
		return
	}
	begun := "Whether the advance has begun at the idle of %.0f rpm crank, these readings do not settle%s."
	if r.Start.Bound != Unknown && r.Start.Value < w.Idle {
		begun = "Probably the advance has begun at the idle of %.0f rpm crank, but these readings do not settle it%s."
	}
	allowed := ""
	if r.Start.Bound == AtMost || r.Start.Bound == Interval {
		allowed = fmt.Sprintf(": they allow a start at up to %.0f rpm crank", r.Start.High)
	}
	d.add("idle-unsure", Check, 0, "", "start "+r.Start.Text(0, rpmCrank), begun, w.Idle, allowed)
}

// begun tells how much of what the light shows at idle is mechanical, where the start
// lies below idle.
func (d *diagnosis) begun() {
	r, w := d.r, d.w
	start := "start " + r.Start.Text(0, rpmCrank)
	mechanical := r.rise(0, w.Idle)
	shown, err := r.Band(w.Idle)
	switch {
	case err != nil:
	case mechanical.Bound == Interval:
		d.add("begun-at-idle", Act, mechanical.Value, degCrank, start,
			"The advance has begun at idle: of the %.1f deg crank shown at %.0f rpm crank, %.1f are mechanical (95 %% interval %.1f to %.1f) and only %.1f are static. Timing set at idle moves with every change of idle speed.",
			shown.Value, w.Idle, mechanical.Value, mechanical.Low, mechanical.High, shown.Value-mechanical.Value)
	case mechanical.Bound == AtLeast && mechanical.Low > 0:
		d.add("begun-at-idle", Act, mechanical.Low, degCrank, start,
			"The advance has begun at idle: of the %.1f deg crank shown at %.0f rpm crank, at least %.1f are mechanical; how much more, these readings cannot tell.",
			shown.Value, w.Idle, mechanical.Low)
	default:
		d.add("begun-at-idle", Act, 0, "", start,
			"The advance has begun at idle: it starts below %.0f rpm crank, so part of the %.1f deg crank shown at %.0f rpm crank is mechanical; how much, these readings cannot tell.",
			r.Start.High, shown.Value, w.Idle)
	}
}

// total tells whether the total is over or under the wanted one.
func (d *diagnosis) total() {
	r, w := d.r, d.w
	if w.Total == 0 || r.Total.Bound == Unknown {
		return
	}
	t := r.Total
	evidence := "total " + t.Text(1, degCrank)
	switch {
	case t.Low > w.Total && t.Bound == AtLeast:
		d.add("total-over", Act, t.Low-w.Total, degCrank, evidence,
			"The total is over: at least %.1f deg crank against the %.1f %s, and %s, so it may be more. Too much advance under load can destroy an engine: take %.1f deg or more out before driving.",
			t.Low, w.Total, w.TotalOf, d.top(), t.Low-w.Total)
	case t.Bound == AtLeast:
		d.add("total-hidden", Check, 0, "", evidence,
			"The total is at least %.1f deg crank: %s, and whether it stays at the %.1f %s, these readings cannot tell.", t.Low, d.top(), w.Total, w.TotalOf)
	case t.Low > w.Total && t.Value > w.Total+w.DegreesWithin:
		d.add("total-over", Act, t.Value-w.Total, degCrank, evidence,
			"The total is %.1f deg crank over: %.1f (95 %% interval %.1f to %.1f) against the %.1f %s. Too much advance under load can destroy an engine.", t.Value-w.Total, t.Value, t.Low, t.High, w.Total, w.TotalOf)
	case t.High < w.Total && t.Value < w.Total-w.DegreesWithin:
		d.add("total-under", Act, w.Total-t.Value, degCrank, evidence,
			"The total is %.1f deg crank under: %.1f (95 %% interval %.1f to %.1f) against the %.1f %s.", w.Total-t.Value, t.Value, t.Low, t.High, w.Total, w.TotalOf)
	default:
		d.add("total-right", Note, t.Value-w.Total, degCrank, evidence,
			"The total of %.1f deg crank agrees with the %.1f %s as far as these readings tell (95 %% interval %.1f to %.1f).", t.Value, w.Total, w.TotalOf, t.Low, t.High)
	}
}

// top says why the total is known on one side only.
func (d *diagnosis) top() string {
	all, level := d.r.fit.best.curve.AllIn, 0
	for _, o := range d.r.fit.obs {
		if o.rpm >= all {
			level++
		}
	}
	switch {
	case level == 0:
		return fmt.Sprintf("the stop was not reached at the highest speed read, %.0f rpm crank", d.highest())
	case level == 1:
		return fmt.Sprintf("only the reading at the highest speed, %.0f rpm crank, lies where the stop may have been reached, and one reading shows no level", d.highest())
	}
	return fmt.Sprintf("the last %d readings, up to %.0f rpm crank, look level, but a slow climb or a spring that holds there would look the same", level, d.highest())
}

// travel tells how much more or less travel there is than the wanted timing
// needs, and what that is at the slot.
func (d *diagnosis) travel() {
	r, w := d.r, d.w
	if w.Total == 0 || w.Static == 0 || r.Travel.Bound == Unknown {
		return
	}
	need := w.Total - w.Static
	t := r.Travel
	evidence := "travel " + t.Text(1, degCrank)
	slot := func(excess float64, verb string) string {
		if w.SlotRadius == 0 {
			return ""
		}
		return fmt.Sprintf(" At a slot radius of %.1f mm that is %.2f mm of slot to %s.", 1000*w.SlotRadius, math.Abs(w.millimetres(excess)), verb)
	}
	switch {
	case t.Low > need && t.Bound == AtLeast:
		d.add("travel-over", Act, t.Low-need, degCrank, evidence,
			"The mechanism travels at least %.1f deg crank, %.1f or more above the %.1f that %.1f static and %.1f total need.%s",
			t.Low, t.Low-need, need, w.Static, w.Total, slot(t.Low-need, "close at least"))
	case t.Bound == AtLeast:
		d.add("travel-hidden", Check, 0, "", evidence,
			"The whole travel was not seen: it is at least %.1f deg crank; %.1f are needed.", math.Max(t.Low, 0), need)
	case t.Low > need && t.Value > need+w.DegreesWithin:
		d.add("travel-over", Act, t.Value-need, degCrank, evidence,
			"The mechanism travels %.1f deg crank (95 %% interval %.1f to %.1f), %.1f more than the %.1f that %.1f static and %.1f total need.%s",
			t.Value, t.Low, t.High, t.Value-need, need, w.Static, w.Total, slot(t.Value-need, "close"))
	case t.High < need && t.Value < need-w.DegreesWithin:
		d.add("travel-under", Act, need-t.Value, degCrank, evidence,
			"The mechanism travels %.1f deg crank (95 %% interval %.1f to %.1f), %.1f less than the %.1f that %.1f static and %.1f total need.%s",
			t.Value, t.Low, t.High, need-t.Value, need, w.Static, w.Total, slot(need-t.Value, "open"))
	default:
		d.add("travel-right", Note, t.Value-need, degCrank, evidence,
			"The travel of %.1f deg crank agrees with the %.1f needed as far as these readings tell.", t.Value, need)
	}
}

// allIn tells whether the stop is reached late or early.
func (d *diagnosis) allIn() {
	a, w := d.r.AllIn, d.w
	if w.AllIn == 0 || a.Bound == Unknown {
		return
	}
	evidence := "all-in " + a.Text(0, rpmCrank)
	switch {
	case a.Bound != AtMost && a.Low > w.AllIn && (a.Bound == AtLeast || a.Value > w.AllIn+w.RPMWithin):
		at, late := fmt.Sprintf("%.0f rpm crank (95 %% interval %.0f to %.0f)", a.Value, a.Low, a.High), a.Value-w.AllIn
		if a.Bound == AtLeast {
			at, late = fmt.Sprintf("not before %.0f rpm crank", a.Low), a.Low-w.AllIn
		}
		d.add("all-in-late", Act, late, rpmCrank, evidence, "The advance is all in late: %s, against the %.0f wanted. Lighter springs or heavier weights bring it in sooner.", at, w.AllIn)
	case a.Bound != AtLeast && a.High < w.AllIn && a.Value < w.AllIn-w.RPMWithin:
		d.add("all-in-early", Act, w.AllIn-a.Value, rpmCrank, evidence,
			"The advance is all in early: at %.0f rpm crank at the latest, against the %.0f wanted. Full advance at low speed under load invites knock; stiffer springs delay it.", a.High, w.AllIn)
	case a.Bound == Interval:
		d.add("all-in-right", Note, a.Value-w.AllIn, rpmCrank, evidence,
			"The advance is all in at %.0f rpm crank (95 %% interval %.0f to %.0f), which agrees with the %.0f wanted as far as these readings tell.", a.Value, a.Low, a.High, w.AllIn)
	default:
		d.add("all-in-hidden", Check, 0, "", evidence, "The stop was not seen for sure: all-in is %s.", a.Text(0, rpmCrank))
	}
}

// setAtIdle tells what total is left when the timing is set at idle.
func (d *diagnosis) setAtIdle() {
	w := d.w
	if w.SetAtIdle == 0 || w.Idle == 0 {
		return
	}
	e := d.r.totalSetAtIdle(w.SetAtIdle, w.Idle)
	if e.Bound == Unknown {
		return
	}
	left := fmt.Sprintf("a total of %.1f deg crank (95 %% interval %.1f to %.1f)", e.Value, e.Low, e.High)
	size := e.Value
	if e.Bound == AtLeast {
		left, size = fmt.Sprintf("a total of at least %.1f deg crank", e.Low), e.Low
	}
	text := fmt.Sprintf("If %.1f deg crank is set at an idle of %.0f rpm crank, this distributor gives %s", w.SetAtIdle, w.Idle, left)
	if w.Total != 0 {
		off := size - w.Total
		side := "more"
		if off < 0 {
			side = "less"
		}
		text += fmt.Sprintf(": %.1f deg %s than the %.1f %s", math.Abs(off), side, w.Total, w.TotalOf)
		if e.Bound == AtLeast {
			text += ", or higher"
		}
	}
	d.add("set-at-idle", Note, size, degCrank, "gain above idle "+e.plus(-w.SetAtIdle).Text(1, degCrank), "%s.", strings.TrimSuffix(text, "."))
}
