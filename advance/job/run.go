package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
)

// units is the sentence that a report begins with.
const units = "Angles are crank degrees before top centre, speeds engine rpm, vacuum hose off, unless a line says otherwise. Results are estimates from the job's figures: check with the light."

// Run works the job through: every question that the file allows is answered, and
// for every other the report says what is missing. Progress, if given, is told what
// is being done and how much of the whole job is done, 0 to 1. The same job gives the
// same report. Errors wrap [ErrJob] where the job causes them; a context that ends
// returns its error, with the report of the stages answered by then.
func (j *Job) Run(ctx context.Context, progress func(what string, done float64)) (*Report, error) {
	if j == nil || ctx == nil {
		return nil, fmt.Errorf("%w: the job or the context is nil", ErrJob)
	}
	if progress == nil {
		progress = func(string, float64) {}
	}
	r := &Report{
		Title: j.Title, Units: units, Cautions: sheet.Cautions(), Recipes: []RecipePart{}, Findings: []Finding{},
		Curves: []CurveRow{}, Decided: []decidedRow{}, Notes: j.remarks, Measured: j.measured,
	}
	w := &work{job: j, report: r}
	err := w.run(ctx, progress)
	if err != nil && ctx.Err() == nil {
		return nil, inWords(err)
	}
	if r.Findings = w.findings(); err != nil {
		return r, err
	}
	if r.Sheet, err = w.sheet(); err != nil {
		return nil, err
	}
	if r.Curves, err = w.curves(); err != nil {
		return nil, err
	}
	if w.setup() != nil {
		if r.Answer, err = w.answer(); err != nil {
			return nil, err
		}
		if j.Answered != nil {
			j.Answered(r)
		}
	}
	if err := w.evidence(ctx); err != nil {
		if ctx.Err() != nil {
			return r, err
		}
		return nil, err
	}
	if r.Answer, err = w.answer(); err != nil {
		return nil, err
	}
	w.wrote(1)
	return r, nil
}

// sheet writes the setting sheet of what is to be set; nil where nothing is.
func (w *work) sheet() (*sheet.Sheet, error) {
	in := w.sheetInput()
	if in == nil {
		return nil, nil
	}
	s, err := sheet.New(*in)
	if err != nil {
		return nil, fmt.Errorf("job: setting sheet: %w", err)
	}
	return s, nil
}

// sheetInput is what the setting sheet is made of; nil where nothing is to be set.
func (w *work) sheetInput() *sheet.Input {
	j, r, to := w.job, w.report, w.setup()
	if to == nil {
		return nil
	}
	in := sheet.Input{
		Title: j.Title, Static: to.static, Travel: to.travel,
		Idle: j.Idle, AllIn: to.allIn, Top: j.Top, Drive: j.Drive, Damper: j.Damper * 1e3, At: to.window,
	}
	in.Hose = []string{hoseBack}
	if r.Vacuum != nil {
		in.Hose = r.Vacuum.Do
	}
	in.Warnings, in.StartOpen = r.warnings(), w.startOpen()
	w.dress(&in)
	in.Verify = j.verification(to.static, to.static+to.travel, to.risk)
	return &in
}

// startOpen reports whether the advance may have begun at idle after all, once what the
// sheet tells is set: by the odds of the recipe's builds, or by what the readings allow.
func (w *work) startOpen() bool {
	if w.choice == nil || w.choice.best == nil {
		start := w.fit.Start
		return !(start.Bound == readings.Interval && start.Low > w.job.Idle)
	}
	return slices.ContainsFunc(w.report.Recipes[0].Chances, func(c chanceRow) bool {
		return strings.HasPrefix(c.Limit, "start above idle") && c.Pct < 97.5
	})
}

// hoseBack is what the sheet says of the hose where no vacuum unit is described.
const hoseBack = "Where there is a vacuum unit, connect its hose again only now. What it adds is not described in the job: read idle and cruise with it, and listen for knock at light load."

// dress names the parts, the slot and the recipe on the sheet, and how far the vacuum
// unit moves the rotor.
func (w *work) dress(in *sheet.Input) {
	j, r := w.job, w.report
	if r.Vacuum != nil && r.Vacuum.Most > 0 {
		in.Vacuum, in.Rotor = min(r.Vacuum.Most, 60), j.Rotor
	}
	if w.choice == nil || w.choice.best == nil {
		in.Recipe = "present parts, clamp and slot only"
		if c := r.Change; c.SlotLength != nil && !c.ClampOnly {
			in.Slot = j.sheetSlot(*c.SlotClosing)
		}
		return
	}
	best := w.choice.best
	in.Recipe = fmt.Sprintf("1 of %d", len(w.choice.built)+len(w.choice.further))
	for _, e := range r.Efforts {
		if e.First {
			in.Recipe += ": " + e.Effort
		}
	}
	for i, name := range best.SpringNames {
		in.Parts = append(in.Parts, sheet.Part{
			Place: j.Places[i].Name, Name: name,
			Changed: j.Fitted != nil && j.Fitted.Springs[i] != best.Springs[i],
		})
	}
	in.Parts = append(in.Parts, sheet.Part{
		Place: "weights", Name: j.Drawer.Weights[best.Weights].Name,
		Changed: j.Fitted != nil && j.Fitted.Weights != best.Weights,
	})
	if best.SlotKnown {
		in.Slot = j.sheetSlot(best.SlotClosing)
	}
}

// sheetSlot is the slot as the sheet prints it, closed by so many mm.
func (j *Job) sheetSlot(closing float64) *sheet.Slot {
	s := &sheet.Slot{Length: j.Slot.Length*1e3 - closing, Closing: closing}
	if closing > 0 {
		s.Bush = j.Slot.Pin*1e3 + closing
	}
	return s
}

// inDoubt is what the sheet says of readings that are not what they are taken for.
const inDoubt = "The readings are in doubt, as the report says: clear that up and read again before anything is set."

// warnings is what the sheet must not be read without.
func (r *Report) warnings() []string {
	var out []string
	if r.Unproven != "" {
		out = append(out, "UNPROVEN. This engine may knock with this timing: the check under load comes before any work.")
	}
	if r.Readings != nil && r.Readings.Parts != nil && !r.Readings.Parts.Agrees {
		if r.AsRead != "" {
			out = append(out, "The listed parts do not agree with the readings. This goes by the readings; measure springs and weights again all the same.")
		} else {
			out = append(out, "The listed parts do not agree with the readings: measure springs and weights again before building this.")
		}
	}
	for _, f := range r.Findings {
		if doubtful[f.Code] {
			out = append(out, inDoubt)
		}
		if f.Code == "falls" {
			out = append(out, "The readings fall as the speed rises: find out why before building this.")
		}
	}
	return slices.Compact(out)
}

// curves puts the curves side by side: at every speed of the sheet, the idle and
// a grid fine enough to draw. What is not known is left out.
func (w *work) curves() ([]CurveRow, error) {
	const fine = 50.0
	j, to := w.job, w.setup()
	rows := []CurveRow{}
	if w.fit == nil && w.wants == nil && to == nil {
		return rows, nil
	}
	speeds := []float64{j.Idle, j.Top}
	for rpm := 200.0; rpm <= j.Top; rpm += fine {
		speeds = append(speeds, rpm)
	}
	if s := w.report.Sheet; s != nil {
		for _, row := range s.Rows {
			speeds = append(speeds, row.RPM)
		}
	}
	slices.Sort(speeds)
	for _, rpm := range slices.Compact(speeds) {
		row := CurveRow{RPM: rpm}
		if w.fit != nil {
			row.Present = reading(w.fit.Curve, rpm)
		}
		if w.wants != nil {
			w.wants.curve(&row)
		}
		if to != nil {
			rising, falling, low, high, err := to.window(rpm)
			if err != nil {
				return nil, err
			}
			row.Rising, row.Falling, row.Low, row.High = rounded(rising), rounded(falling), rounded(low), rounded(high)
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// curve fills in what the engine wants and tolerates at a row's speed.
func (a *requirement) curve(row *CurveRow) {
	if row.MBT = reading(a.mbt, row.RPM); row.MBT != nil {
		row.Limit, row.LimitLow, row.LimitHigh = a.limitAt(row.RPM)
	}
}

// rounded returns a pointer to a rounded value.
func rounded(x float64) *float64 {
	x = text.Round(x)
	return &x
}

// reading reads a curve inside its range.
func reading(c advance.Curve, rpm float64) *float64 {
	x, err := c.At(rpm)
	if err != nil {
		return nil
	}
	return rounded(x)
}

// limitAt returns the knock limit and its band, straight between two speeds
// where one was found at both.
func (a *requirement) limitAt(rpm float64) (limit, low, high *float64) {
	w := a.between(rpm)
	if !w.KnockLimited {
		return nil, nil, nil
	}
	return rounded(w.KLSA), rounded(w.KLSALow), rounded(w.KLSAHigh)
}

// events lists what happens on the way up.
func (j *Job) events(list []flyweights.Event) []eventRow {
	var out []eventRow
	for _, e := range list {
		out = append(out, eventRow{
			Kind: e.Kind.String(), RPM: math.Round(j.Drive.RPM(e.Omega)),
			Deg: text.Round(j.Drive.CrankDegrees(e.Theta)), Cause: e.Cause,
		})
	}
	return out
}
