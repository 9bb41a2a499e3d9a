package job

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"example.org/bobweight/advance/job/internal/schema"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
)

// answer says what to do next, on one screen.
func (w *work) answer() (Answer, error) {
	a := Answer{Fit: []string{}, Check: []string{}}
	if w.setup() == nil {
		w.nothingToSet(&a)
		return a, nil
	}
	s := w.report.Sheet
	a.Set = fmt.Sprintf("Hold %.0f rpm, hose off and plugged; turn the distributor to %.1f deg BTDC.", s.SetRPM, s.SetDegrees)
	if back := w.turnedBack(); back > 0 {
		a.Set = fmt.Sprintf("Hold %.0f rpm, hose off and plugged; set %.1f deg BTDC to check the curve, then turn back to %.1f before any load.", s.SetRPM, s.SetDegrees, s.SetDegrees-back)
	}
	if w.choice != nil && w.choice.best != nil {
		w.fitParts(&a)
	} else {
		w.fitClamp(&a)
	}
	torque, err := w.torque()
	if err != nil {
		return a, err
	}
	if torque != "" {
		a.Gains += ". " + torque
	}
	w.done(&a)
	w.checks(&a)
	w.forbids(&a)
	if a.Forbids == inDoubtFirst {
		a.Set = "NOT YET, as the readings are in doubt. Then: " + a.Set
	}
	return a, nil
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
	j, r, best := w.job, &w.report.Recipes[0], w.choice.best
	slot := j.slotOf(r)
	switch {
	case j.Fitted == nil:
		a.Fit = append(a.Fit, "springs "+j.named(best.SpringNames), "weights "+r.Weights, slot)
	case j.stays(best):
		a.Fit = append(a.Fit, "nothing: springs, weights and slot stay, only the distributor is turned",
			fmt.Sprintf("(%s; weights %s; %s)", j.named(best.SpringNames), r.Weights, slot))
	case slices.Equal(best.Springs, j.Fitted.Springs) && best.Weights == j.Fitted.Weights:
		a.Fit = append(a.Fit, fmt.Sprintf("springs and weights stay (%s; weights %s)", j.named(best.SpringNames), r.Weights), slot)
	default:
		a.Fit = append(a.Fit, "springs "+strings.Join(w.changed(), "; "))
		weights := "weights " + r.Weights
		if best.Weights == j.Fitted.Weights {
			weights += " (stay)"
		}
		a.Fit = append(a.Fit, weights, slot)
		if best.SpringNames[0] != best.SpringNames[len(best.SpringNames)-1] {
			a.Fit = append(a.Fit, j.whichPlace())
		}
	}
	a.Gains = fmt.Sprintf("total %.1f deg, all in at %.0f rpm", r.Total, r.AllIn)
	if wish := j.Wish.Total; wish > 0 && math.Abs(wish-r.Total) >= 0.05 {
		a.Gains = strings.Replace(a.Gains, "deg,", fmt.Sprintf("deg (%.1f wished for),", wish), 1)
	}
	if w.fit != nil {
		a.Gains += "; now " + w.present()
	}
	a.Unsure = r.MostTo
	switch {
	case !r.Judged:
		a.Unsure = "first the knock limit, as the engine is not described; then " + r.MostTo
	case !j.heard():
		a.Unsure = "first the knock limit, as no knock was heard on this engine; then " + r.MostTo
	}
}

// stays reports whether a recipe leaves springs, weights and slot as they are. Where the
// slot was not measured, its travel tells.
func (j *Job) stays(r *recipes.Recipe) bool {
	return j.Fitted != nil && r.Changed == 0 && (r.SlotKnown || math.Abs(j.SlotTravel-r.Travel) < sameTravel)
}

// sameTravel is the travel, crank degrees, within which a slot counts as the same.
const sameTravel = 0.3

// whichPlace says how a builder tells the places of the springs apart.
func (j *Job) whichPlace() string {
	var names []string
	for _, p := range j.Places {
		names = append(names, p.Name)
	}
	list := strings.Join(names, " and ")
	if !j.placesAlike() {
		return fmt.Sprintf("(the drawing shows %s; mark them on the plate before anything comes off)", list)
	}
	return fmt.Sprintf("(%s are alike: which is which does not matter)", list)
}

// placesAlike reports whether springs do the same at every place.
func (j *Job) placesAlike() bool {
	if j.learned() {
		return !j.placesDiffer
	}
	list := slices.Clone(j.file.Distributor.Places)
	for i := range list {
		list[i].Name, list[i].Weight = "", 0
		if i > 0 && !reflect.DeepEqual(list[i], list[0]) {
			return false
		}
	}
	return !slices.ContainsFunc(j.file.Drawer.Weights, func(w schema.Weight) bool { return len(w.Each) > 0 })
}

// changed names the springs of the first recipe with their places, and which of them
// hang there now or make way.
func (w *work) changed() []string {
	j, best := w.job, w.choice.best
	var out []string
	for i, name := range best.SpringNames {
		one := name + " at " + j.Places[i].Name
		if now := j.Fitted.Springs[i]; best.Springs[i] == now {
			one += " (stays)"
		} else if now >= 0 {
			one += ", in place of " + j.Drawer.Springs[now].Name
		}
		out = append(out, one)
	}
	return out
}

// setWithin is how near to what is to be set the distributor may stand, crank degrees.
const setWithin = 1.0

// done says that nothing is to be done, where the newest run passes with the parts that
// are to be fitted and stands where it should.
func (w *work) done(a *Answer) {
	r, s := w.report, w.report.Sheet
	if r.Runs == nil || r.Runs.Passed == nil || !*r.Runs.Passed || w.fit == nil || s.StillRises {
		return
	}
	stays := w.choice != nil && w.choice.best != nil && w.job.stays(w.choice.best) ||
		(w.choice == nil || w.choice.best == nil) && w.change.clampOnly
	if now := w.fit.Total; stays && now.Bound == readings.Interval && math.Abs(now.Value-s.SetDegrees) <= setWithin {
		a.Fit = []string{"nothing: the newest run passes, and nothing is to be done"}
		if to := w.setup(); to.risk.judged && to.risk.back() > 0 {
			a.Fit[0] = "nothing: the newest run passes; parts and setting stay, if the engine bears them"
		}
		a.Set = fmt.Sprintf("Leave the distributor where it stands: it shows %.1f deg all in, within %.1f of %.1f.", now.Value, setWithin, s.SetDegrees)
		if back := w.turnedBack(); back > 0 {
			a.Set += fmt.Sprintf(" Before the first load turn back to %.1f.", s.SetDegrees-back)
		}
		a.Gains, a.Unsure = "", ""
	}
}

// present is the present state in a few words.
func (w *work) present() string {
	r := w.report.Readings
	if w.job.onMachine {
		return fmt.Sprintf("travel %s, all in %s", short(r.Travel), short(r.AllIn))
	}
	return fmt.Sprintf("total %s, all in %s", short(r.Total), short(r.AllIn))
}

// short is an estimate in a few words: its text without the interval, so that both
// print the same digits. Angles and speeds of the first screen are the crank's.
func short(e Estimate) string {
	switch e.Bound {
	case "interval", "at most", "at least":
		figure, _, _ := strings.Cut(e.Text, " (")
		return strings.TrimSuffix(figure, " crank")
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
		a.Fit = append(a.Fit, fmt.Sprintf("take %.1f deg crank of travel away at the slot (mm as soon as distributor.slot.radius is given)", c.Remove))
	}
	a.Gains = fmt.Sprintf("total %.1f deg %s, static %.1f", c.Total, c.TotalOf, c.Static)
	if w.fit.Static.Bound != readings.Interval && !w.job.onMachine {
		a.Gains = fmt.Sprintf("total %.1f deg %s, static about %.1f as the start was not seen", c.Total, c.TotalOf, c.Static)
	}
	if c.AllIn > 0 {
		a.Gains += fmt.Sprintf(", all in by %.0f rpm at the latest", c.AllIn)
	}
	a.Gains += "; now " + w.present()
	if c.Margin != nil {
		a.Gains += fmt.Sprintf("; %s the knock limit's best estimate at %.0f rpm", belowOrPast(*c.Margin), *c.MarginRPM)
	}
	travel := w.report.Readings.Travel
	switch {
	case w.change.risk.outside:
		a.Unsure = "what the engine bears: fuel or compression ratio lie outside what the knock model was fitted on"
	case c.Margin == nil:
		a.Unsure = "what the engine bears: it is not described, so nothing is known of torque or knock"
	case !c.ClampOnly && travel.Low != nil && travel.High != nil && *travel.High-*travel.Low > 2*setWithin:
		a.Unsure = fmt.Sprintf("the travel as it is, %.1f to %.1f deg: take less away at first and read again", *travel.Low, *travel.High)
	case len(w.job.Observed) == 0:
		a.Unsure = "the knock limit, as nothing was observed on this engine"
	default:
		a.Unsure = "how exactly the timing light is read when the total is set"
	}
}

// belowOrPast says where a margin to the knock limit lies.
func belowOrPast(margin float64) string {
	if margin < 0 {
		return fmt.Sprintf("%.1f deg past", -margin)
	}
	return fmt.Sprintf("%.1f deg below", margin)
}

// slotOf says what a recipe does to the slot.
func (j *Job) slotOf(r *RecipePart) string {
	if r.SlotLength == 0 && math.Abs(r.Remove) < sameTravel {
		return "slot as it is"
	}
	if r.SlotLength == 0 && j.has.slotRadius {
		return j.slotText(1e3 * j.arc(r.Remove))
	}
	if r.SlotLength == 0 {
		return fmt.Sprintf("take %.1f deg crank of travel away at the slot (mm as soon as distributor.slot.radius is given)", r.Remove)
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
		return fmt.Sprintf("slot: close %.2f mm, to %.2f mm (%.3f in) end to end, at the end of full advance; or a bush of %.2f mm outside over its pin", closing, length, length/25.4, j.Slot.Pin*1e3+closing)
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
		a.Forbids = inDoubtFirst
	case r.Unproven != "":
		a.Forbids = w.unproven()
	case w.choice == nil && w.change != nil && !w.change.risk.outside && w.change.margin < w.job.Wish.KnockMargin:
		a.Forbids = fmt.Sprintf("KNOCK: it lies %s the limit's best estimate at %.0f rpm; %.1f deg below are wished for. %s", belowOrPast(w.change.margin), w.change.where, w.job.Wish.KnockMargin, w.firstPull())
	case len(r.warnings()) > 0:
		a.Forbids = r.warnings()[0]
		if w.turnedBack() > 0 && !w.setup().risk.judged {
			a.Forbids += " " + w.limitNotKnown()
		}
	case r.Sheet != nil && (!w.setup().risk.judged || w.setup().risk.outside):
		a.Forbids = w.limitNotKnown()
	case r.Sheet != nil && len(r.Sheet.Verify) > 0:
		a.Forbids = fmt.Sprintf("Chance of trace knock at full load %.0f %%. %s", 100*w.setup().risk.chance, w.firstPull())
	}
}

// unproven says what stands against a total beyond the best estimate of the limit.
func (w *work) unproven() string {
	if w.setup().risk.outside {
		return w.limitNotKnown()
	}
	return fmt.Sprintf("UNPROVEN: this engine may knock with it, chance at full load %.0f %%. %s", w.report.Recipes[0].KnockChance, w.firstPull())
}

// firstPull says with what total the engine is first loaded.
func (w *work) firstPull() string {
	back := w.turnedBack()
	if back == 0 {
		return "Verify under load before normal use, as the sheet says."
	}
	still := ""
	if first := 100 * w.setup().risk.first; first >= 0.5 && w.setup().risk.outside {
		still = " Even there it may knock: open the throttle little by little."
	} else if first >= 0.5 {
		still = fmt.Sprintf(" Even there the chance of knock is %.0f %%: open the throttle little by little.", first)
	}
	return fmt.Sprintf("First load it %.0f deg retarded, at %.1f.%s Then go up in steps as the sheet says.", back, w.report.Sheet.SetDegrees-back, still)
}

// limitNotKnown stands beside what is to be set where no engine is described, or one outside
// what the knock model was fitted on.
func (w *work) limitNotKnown() string {
	if w.setup().risk.outside {
		return outsideFit + " " + w.firstPull() + " Listen for knock at every step."
	}
	return "The knock limit is NOT KNOWN: the engine is not described. " + w.firstPull() + " Listen for knock at every step."
}

// turnedBack is how far the distributor is turned back from what the curve is checked
// at before any load, crank degrees; 0 where the sheet asks for no steps under load.
func (w *work) turnedBack() float64 {
	if s := w.report.Sheet; s == nil || len(s.Verify) == 0 {
		return 0
	}
	return w.setup().risk.back()
}

// inDoubtFirst stands before figures that rest on readings in doubt.
const inDoubtFirst = "The readings are in doubt: settle that first, as stands under what is wrong. Until then use no figure of this report and change no timing."

// doubtful are findings that say that the readings are not what they are taken for.
var doubtful = map[string]bool{"other-shaft": true, "hose-or-mark": true, "all-shifted": true, "another-curve": true, "speed-factor": true}

// doubt is the first finding that puts the readings in doubt; empty where none does.
func (w *work) doubt() string {
	for _, f := range w.report.Findings {
		if doubtful[f.Code] {
			return f.Text
		}
	}
	return ""
}

// alone is what slot, vacuum unit and engine tell where nothing else is known, with the hose
// where the idle's vacuum is; empty where none of them is.
func (r *Report) alone(idle bool) string {
	var said []string
	if s := r.Slot; s != nil {
		line := fmt.Sprintf("One degree of crank advance is %.2f mm of slot", s.PerDegree)
		if s.Travel > 0 {
			line += fmt.Sprintf("; as it is, the slot allows %.1f deg", s.Travel)
		}
		said = append(said, line+".")
	}
	if v := r.Vacuum; v != nil && len(v.Do) > 0 {
		said = append(said, v.Do[0])
		if idle && len(v.Do) > 1 {
			said = append(said, v.Do[1])
		}
	}
	if e := r.Engine; e != nil {
		said = append(said, e.alone())
	}
	return strings.Join(said, " ")
}

// alone is what the engine wants at the speed of the middle of its rows, and tolerates.
func (e *EnginePart) alone() string {
	w := &e.Want[len(e.Want)/2]
	line := fmt.Sprintf("At full load and %.0f rpm the engine gives its best torque at %.1f deg (band %.1f to %.1f), ", w.RPM, w.MBT, w.MBTLow, w.MBTHigh)
	switch {
	case e.Refused:
		return line + fmt.Sprintf("and its knock limit is NOT KNOWN (%.1f to %.1f).", w.LimitLow, w.LimitHigh)
	case !w.Limited:
		return line + fmt.Sprintf("and knocks from %.1f or later, if at all.", w.LimitLow)
	}
	return line + fmt.Sprintf("and knocks from %.1f (band %.1f to %.1f).", w.Limit, w.LimitLow, w.LimitHigh)
}

// nothingToSet says why there is nothing to set.
func (w *work) nothingToSet(a *Answer) {
	r, idle := w.report, w.job.gives("vacuum.idle_vacuum")
	switch {
	case r.NoFit != nil:
		a.Forbids = strings.TrimSpace(r.NoFit.Text + " " + strings.Join(r.NoFit.Reasons, "; "))
		if r.NoFit.Knock != "" {
			a.Forbids = r.NoFit.Knock
		}
	case w.change != nil && len(w.change.stop) > 0:
		a.Fit = append(a.Fit, "nothing yet: what stands below must be cleared up first")
		if len(w.job.unseen(w.fit.Result)) > 0 && strings.Contains(r.Readings.Next, " rpm ") {
			a.Check = append(a.Check, r.Readings.Next+" Stay below the engine's own limit or its red line.")
		}
		a.Forbids = w.change.stop[0]
		over := w.readOver()
		switch {
		case w.doubt() != "":
			a.Forbids = inDoubtFirst
		case over != nil:
			a.Forbids = fmt.Sprintf("Do not drive it so: the light showed %.1f deg at %.0f rpm, at least %.1f more than the %.1f %s. The stop was not seen, so the total may be more still.", over.seen, over.rpm, over.seen-over.wanted, over.wanted, over.of)
		}
	case w.change != nil && !w.change.clampOnly:
		w.fitClamp(a)
		a.Forbids = "The travel must grow: file the slot, then read the whole curve again before anything is set."
	case w.fit != nil && len(r.Findings) > 0:
		a.Forbids = r.Findings[0].Text
	case w.job.tooFew() != "":
		a.Forbids = "Nothing is set from this. " + w.job.tooFew()
	case r.alone(idle) != "":
		a.Forbids = r.alone(idle) + " Timing is not set from that alone: it takes readings of the curve, hose off."
	default:
		a.Forbids = "Nothing is set from this: without readings, or a mechanism with a drawer of parts, nobody knows what the distributor does."
	}
}
