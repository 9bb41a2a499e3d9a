package job

import (
	"fmt"
	"math"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/sheet"
)

// findings says what is wrong with the present state, gravest first: against the
// wish where it names a figure, else against the best recipe.
func (j *Job) findings(fit *readings.Result, used facts, c *choice, a *requirement) []Finding {
	want := readings.Wanted{
		Idle: j.Idle, Total: j.Wish.Total, AllIn: (j.Wish.AllIn.Low + j.Wish.AllIn.High) / 2,
		RPMWithin:  (j.Wish.AllIn.High - j.Wish.AllIn.Low) / 2,
		SlotRadius: j.Slot.Radius, Drive: j.Drive, SlotTravel: j.slotKnown(),
	}
	out := []Finding{}
	if k := j.Settings.KnownStatic; k != nil && fit.Model.Slopes > 0 && !used.static {
		out = append(out, Finding{
			Code: "static-contradicts", Severity: readings.Act, Unit: "deg crank", Size: sheet.Round(k.Value - fit.Static.Value),
			Text:     fmt.Sprintf("The static reading of %.1f deg crank contradicts the other readings, and was left out: one or the other is wrong. Do the weights go home? Was the hose off?", k.Value),
			Evidence: "static timing by the readings " + fit.Static.Text(1, "deg crank"),
		})
	}
	if c.best != nil {
		want.Static = c.best.Static
		if want.Total == 0 {
			want.Total, want.TotalOf = c.best.Total, "of the best recipe"
		}
		// What somebody would do who sets the wanted static timing at idle.
		want.SetAtIdle = math.Round(c.best.Static)
	}
	if w := a.near(j.Wish.AllIn.High); j.Wish.Total > max(w.MBTHigh, w.MBTEarly) {
		out = append(out, Finding{
			Code: "total-beyond-best", Severity: readings.Check, Size: sheet.Round(j.Wish.Total - w.MBT), Unit: "deg crank",
			Text: fmt.Sprintf("The total wished for, %.1f deg crank, lies beyond best torque where it is all in: %.1f at %.0f rpm (band %.1f to %.1f). Spark beyond best torque costs torque and brings knock nearer.",
				j.Wish.Total, sheet.Round(w.MBT), w.RPM, sheet.Round(w.MBTLow), sheet.Round(w.MBTHigh)),
		})
	}
	for _, f := range readings.Diagnose(fit, want) {
		out = append(out, Finding{
			Code: f.Code, Severity: f.Severity, Text: f.Text,
			Size: sheet.Round(f.Size), Unit: f.Unit, Evidence: f.Evidence,
		})
	}
	return out
}
