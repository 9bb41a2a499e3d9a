package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
)

// findings says what is wrong with the present state, gravest first: against the
// wish where it names a figure, else against what is to be set.
func (w *work) findings() []Finding {
	out := []Finding{}
	if w.fit == nil {
		return out
	}
	j, fit := w.job, w.fit.Result
	out = append(out, w.staticContradicts()...)
	out = append(out, w.beyondBest()...)
	out = append(out, j.senseChecks(w)...)
	said := readings.Diagnose(fit, w.wanted())
	doubted := slices.ContainsFunc(out, func(f Finding) bool { return shifts[f.Code] }) ||
		slices.ContainsFunc(said, func(f readings.Finding) bool { return shifts[f.Code] })
	for _, f := range said {
		if f.Severity == readings.Note && !noteworthy[f.Code] || doubted && follows[f.Code] {
			continue // what is right is no finding, nor what follows from another
		}
		if leftOpen[f.Code] {
			w.report.Readings.Open = append(w.report.Readings.Open, f.Text)
			continue
		}
		if over := w.readOver(); f.Code == "total-over" && over != nil {
			out = slices.Insert(out, 0, over.finding(&f))
			continue
		}
		if f.Code == "set-at-idle" && !w.trap(f) || !w.allInWrong(f) {
			continue
		}
		if f.Code == "static-hidden" && j.onMachine { // its zero is its own
			f.Text = "No reading shows the weights at rest: at the lowest speed read the advance may already have begun, so travel and start are known from one side only. Read at lower speeds, until two readings agree."
			f.Size, f.Unit = fit.Start.High, "rpm crank"
		}
		out = append(out, Finding{
			Code: f.Code, Severity: f.Severity, Text: f.Text,
			Size: text.Round(f.Size), Unit: f.Unit, Evidence: f.Evidence,
		})
	}
	grave := []string{readings.Act, readings.Check, readings.Note}
	slices.SortStableFunc(out, func(a, b Finding) int {
		return cmp.Compare(slices.Index(grave, a.Severity), slices.Index(grave, b.Severity))
	})
	return out
}

// shifts are findings that put every figure of the readings in doubt; follows are those
// that only say so again.
var (
	shifts  = map[string]bool{"other-shaft": true, "hose-or-mark": true, "all-shifted": true}
	follows = map[string]bool{"total-over": true, "total-under": true, "travel-over": true, "travel-under": true, "set-at-idle": true}
)

// leftOpen are questions that the readings do not settle: nothing is known to be wrong.
var leftOpen = map[string]bool{"idle-unsure": true, "all-in-hidden": true, "total-hidden": true, "travel-hidden": true}

// trap reports whether setting the wanted static timing at idle does harm, as the
// advance may have begun there.
func (w *work) trap(f readings.Finding) bool {
	want := w.wanted()
	if want.Total > 0 && math.Abs(f.Size-want.Total) < setWithin {
		return false // it comes out right all the same
	}
	gain := f.Size - want.SetAtIdle // above idle
	return w.fit.Start.Bound != readings.Interval || w.fit.Travel.Value-gain >= 1
}

// allInWrong reports whether a finding on all-in holds against the whole range that was
// wished for, not its middle only.
func (w *work) allInWrong(f readings.Finding) bool {
	wish, a := w.job.Wish.AllIn, w.fit.AllIn
	return !(f.Code == "all-in-late" && a.Low <= wish.High || f.Code == "all-in-early" && a.High >= wish.Low)
}

// noteworthy are notes that say more than that all is well.
var noteworthy = map[string]bool{"set-at-idle": true}

// wanted is what the present state is held against.
func (w *work) wanted() readings.Wanted {
	j := w.job
	want := readings.Wanted{
		Idle: j.Idle, Total: j.Wish.Total, AllIn: (j.Wish.AllIn.Low + j.Wish.AllIn.High) / 2,
		RPMWithin: (j.Wish.AllIn.High - j.Wish.AllIn.Low) / 2,
		Drive:     j.Drive, SlotTravel: j.slotKnown(), SetStatic: j.SetStatic,
	}
	if j.onMachine {
		// The machine's zero is its own: travel and speeds are known, nothing else.
		return readings.Wanted{AllIn: want.AllIn, RPMWithin: want.RPMWithin, Drive: j.Drive, SlotTravel: want.SlotTravel}
	}
	switch to := w.setup(); {
	case to != nil:
		want.Static = to.static
		if total := to.static + to.travel; math.Abs(total-want.Total) >= 0.05 {
			want.Total, want.TotalOf = total, "of what is to be set"
		}
		// What somebody would do who sets the wanted static timing at idle.
		want.SetAtIdle = math.Round(to.static)
	case want.Total == 0:
		want.Total, want.TotalOf = j.wantedTotal(w.wants)
	}
	return want
}

// staticContradicts says that the static reading and the others exclude each other.
func (w *work) staticContradicts() []Finding {
	k, fit := w.job.Settings.KnownStatic, w.fit.Result
	if k == nil || fit.Model.Slopes == 0 || w.fit.used.static {
		return nil
	}
	return []Finding{{
		Code: "static-contradicts", Severity: readings.Act, Unit: "deg crank", Size: text.Round(k.Value - fit.Static.Value),
		Text:     fmt.Sprintf("The static reading of %.1f deg crank contradicts the other readings, and was left out: one or the other is wrong. Do the weights go home? Was the hose off?", k.Value),
		Evidence: "static timing by the readings " + fit.Static.Text(1, "deg crank"),
	}}
}

// beyondBest says that the total wished for costs torque.
func (w *work) beyondBest() []Finding {
	if w.wants == nil {
		return nil
	}
	wish, at := w.job.Wish.Total, w.wants.near(w.job.Wish.AllIn.High)
	if !(wish > max(at.MBTHigh, at.MBTEarly)) {
		return nil
	}
	return []Finding{{
		Code: "total-beyond-best", Severity: readings.Act, Size: text.Round(wish - at.MBT), Unit: "deg crank",
		Text: fmt.Sprintf("The total wished for, %.1f deg crank, lies beyond best torque where it is all in: %.1f at %.0f rpm (band %.1f to %.1f). Spark beyond best torque costs torque and brings knock nearer.",
			wish, text.Round(at.MBT), at.RPM, text.Round(at.MBTLow), text.Round(at.MBTHigh)),
	}}
}
