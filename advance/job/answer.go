package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/sheet"
)

// answer says what to do next, on one screen.
func (w *work) answer() Answer {
	a := Answer{Fit: []string{}, Check: []string{}}
	if w.setup() == nil {
		w.nothingToSet(&a)
		return a
	}
	s := w.report.Sheet
	a.Set = fmt.Sprintf("Hold %.0f rpm, hose off and plugged; turn the distributor to %.1f deg BTDC.", s.SetRPM, s.SetDegrees)
	if w.choice != nil && w.choice.best != nil {
		w.fitParts(&a)
	} else {
		w.fitClamp(&a)
	}
	w.checks(&a)
	w.forbids(&a)
	return a
}

// checks lists idle and three speeds: half-way up, nearly in, and all in.
func (w *work) checks(a *Answer) {
	s := w.report.Sheet
	rows := append([]sheet.Row{s.Idle}, s.Rows...)
	n := len(rows)
	pick := []int{0}
	for _, part := range []float64{0.33, 0.67, 1} {
		if i := int(math.Round(part * float64(n-1))); !slices.Contains(pick, i) {
			pick = append(pick, i)
		}
	}
	for _, i := range pick {
		name := fmt.Sprintf("%.0f rpm", rows[i].RPM)
		if i == 0 {
			name = "idle " + name
		}
		a.Check = append(a.Check, fmt.Sprintf("%s: %.1f (%.1f to %.1f)", name, rows[i].Rising, rows[i].Low, rows[i].High))
	}
}

// fitParts says which parts of the drawer go in.
func (w *work) fitParts(a *Answer) {
	r := &w.report.Recipes[0]
	places := make([]string, 0, len(r.Springs))
	for place, spring := range r.Springs {
		places = append(places, fmt.Sprintf("%s at %s", spring, place))
	}
	slices.Sort(places)
	a.Fit = append(a.Fit, "springs "+strings.Join(places, ", "), "weights "+r.Weights, w.job.slotOf(r))
	if r.Judged {
		a.Gains = fmt.Sprintf("total %.1f deg, all in at %.0f rpm, torque given up %.1f %%", r.Total, r.AllIn, r.GivenUp)
	} else {
		a.Gains = fmt.Sprintf("total %.1f deg, all in at %.0f rpm; nothing is said of torque or knock without the engine", r.Total, r.AllIn)
	}
	if w.fit != nil {
		a.Gains += "; now " + w.present()
	}
	a.Unsure = r.MostTo
}

// present is the present state in a few words.
func (w *work) present() string {
	r := w.report.Readings
	if w.job.onMachine {
		return fmt.Sprintf("travel %s, all in %s", short(r.Travel, 1, "deg"), short(r.AllIn, 0, "rpm"))
	}
	return fmt.Sprintf("total %s, all in %s", short(r.Total, 1, "deg"), short(r.AllIn, 0, "rpm"))
}

// short is an estimate in a few words.
func short(e Estimate, decimals int, unit string) string {
	switch e.Bound {
	case "interval":
		return fmt.Sprintf("%.*f %s", decimals, e.Value, unit)
	case "at most":
		return fmt.Sprintf("at most %.*f %s", decimals, *e.High, unit)
	case "at least":
		return fmt.Sprintf("at least %.*f %s", decimals, *e.Low, unit)
	}
	return "not known"
}

// fitClamp says what clamp and slot have to do.
func (w *work) fitClamp(a *Answer) {
	c := w.report.Change
	a.Fit = append(a.Fit, "springs and weights as they are")
	switch {
	case c.ClampOnly:
		a.Fit = append(a.Fit, "slot as it is: nothing but the clamp moves")
	case c.SlotClosing != nil:
		a.Fit = append(a.Fit, w.job.slotText(*c.SlotClosing))
	default:
		a.Fit = append(a.Fit, fmt.Sprintf("take %.1f deg crank of travel away at the slot (mm as soon as distributor.slot is given)", c.Remove))
	}
	a.Gains = fmt.Sprintf("total %.1f deg %s, static %.1f; now %s", c.Total, c.TotalOf, c.Static, w.present())
	if c.Margin != nil {
		a.Gains += fmt.Sprintf("; %.1f deg below the knock limit's best estimate at %.0f rpm", *c.Margin, *c.MarginRPM)
	}
	a.Unsure = "the springs and weights, which no reading tells apart; all-in stays where they put it"
	if c.Margin == nil {
		a.Unsure = "what the engine bears: it is not described, so nothing is said of torque or knock"
	}
}

// slotOf says what a recipe does to the slot.
func (j *Job) slotOf(r *RecipePart) string {
	if r.SlotLength == 0 {
		return fmt.Sprintf("take %.1f deg crank of travel away at the slot (mm as soon as distributor.slot is given)", r.Remove)
	}
	return j.slotText(r.SlotClosing)
}

// slotText says what to do with the slot for a closing in mm.
func (j *Job) slotText(closing float64) string {
	if !j.has.slot {
		return fmt.Sprintf("close %.2f mm of the slot", closing)
	}
	length := j.Slot.Length*1e3 - closing
	switch {
	case closing > 0.05:
		return fmt.Sprintf("slot: close %.2f mm, to %.2f mm (%.3f in), or a bush of %.2f mm over its pin", closing, length, length/25.4, j.Slot.Pin*1e3+closing)
	case closing < -0.05:
		return fmt.Sprintf("slot: file %.2f mm off, to %.2f mm (%.3f in)", -closing, length, length/25.4)
	}
	return fmt.Sprintf("slot as it is, %.2f mm", length)
}

// forbids says what stands against setting it so.
func (w *work) forbids(a *Answer) {
	switch r := w.report; {
	case r.Runs != nil && r.Runs.Passed != nil && !*r.Runs.Passed && len(r.Runs.Do) > 0:
		a.Forbids = "The newest run does not pass. " + r.Runs.Do[0]
	case w.doubt() != "":
		a.Forbids = "The readings are in doubt. " + w.doubt()
	case r.Unproven != "":
		a.Forbids = "UNPROVEN: this engine may knock with it. Verify under load as the sheet says."
	case w.choice == nil && w.change != nil && w.change.margin < w.job.Wish.KnockMargin:
		a.Forbids = fmt.Sprintf("KNOCK: it comes within %.1f deg of the limit's best estimate at %.0f rpm, %.1f are wished for.", w.change.margin, w.change.where, w.job.Wish.KnockMargin)
	case len(r.warnings()) > 0:
		a.Forbids = r.warnings()[0]
	case r.Sheet != nil && len(r.Sheet.Verify) > 0:
		a.Forbids = fmt.Sprintf("Verify under load before normal use, as the sheet says: chance of trace knock at full load %.0f %%.", r.Recipes[0].KnockChance)
	}
}

// doubtful are findings that say that the readings are not what they are taken for.
var doubtful = map[string]bool{"other-shaft": true, "hose-or-mark": true, "all-shifted": true, "another-curve": true, "tachometer": true}

// doubt is the first finding that puts the readings in doubt; empty where none does.
func (w *work) doubt() string {
	for _, f := range w.report.Findings {
		if doubtful[f.Code] {
			return f.Text
		}
	}
	return ""
}

// nothingToSet says why there is nothing to set.
func (w *work) nothingToSet(a *Answer) {
	r := w.report
	switch {
	case r.NoFit != nil:
		a.Forbids = r.NoFit.Text
		if r.NoFit.Knock != "" {
			a.Forbids = r.NoFit.Knock
		}
	case w.change != nil && len(w.change.stop) > 0:
		a.Forbids = w.change.stop[0]
	case w.change != nil && !w.change.clampOnly:
		w.fitClamp(a)
		a.Forbids = "The travel must grow: file the slot, then read the whole curve again before anything is set."
	case w.fit != nil && len(r.Findings) > 0:
		a.Forbids = r.Findings[0].Text
	default:
		a.Forbids = "Nothing is set from this: without readings, or a mechanism with a drawer of parts, nobody knows what the distributor does."
	}
}
