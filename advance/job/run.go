package job

import (
	"context"
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
)

// units is the sentence that a report begins with.
const units = "Angles are crank degrees before top centre, speeds engine rpm, vacuum hose off, unless a line says otherwise. Results are estimates from the job's figures: check with the light."

// Run works the job through. Progress, if given, is told what is being done and
// how much of it is, 0 to 1. The same job gives the same report. Errors wrap
// [ErrJob] where the job causes them; a context that ends returns its error.
func (j *Job) Run(ctx context.Context, progress func(what string, done float64)) (*Report, error) {
	if progress == nil {
		progress = func(string, float64) {}
	}
	r := &Report{Title: j.Title, Units: units, Cautions: sheet.Cautions(), Recipes: []RecipePart{}, Findings: []Finding{}}
	progress("reading the light", 0)
	fit, used, err := j.fit(ctx)
	if err != nil {
		return nil, err
	}
	if r.Readings, err = j.readingsPart(ctx, fit, used); err != nil {
		return nil, err
	}
	progress("asking the engine", 0)
	wants, err := j.sparkRequirement(ctx, func(done, total int) {
		progress("asking the engine", float64(done)/float64(total))
	})
	if err != nil {
		return nil, err
	}
	r.Engine = wants.part(j)
	choice, err := j.choose(ctx, wants, progress)
	if err != nil {
		return nil, err
	}
	r.Searched, r.Recipes, r.NoFit, r.Unproven = choice.searched, choice.parts, choice.noFit, choice.unproven
	r.Findings = j.findings(fit, used, choice, wants)
	if choice.best != nil {
		if r.Vacuum, err = j.vacuumPart(choice, wants); err != nil {
			return nil, err
		}
		if r.Sheet, err = j.sheet(choice, r); err != nil {
			return nil, err
		}
	}
	r.Curves, err = j.curves(fit, wants, choice, r.Sheet)
	return r, err
}

// sheet writes the setting sheet of the first recipe.
func (j *Job) sheet(c *choice, r *Report) (*sheet.Sheet, error) {
	in := sheet.Input{
		Title: j.Title, Static: c.best.Static, Travel: c.best.Travel,
		Idle: j.Idle, AllIn: c.band.allInHigh, Top: j.Top, Drive: j.Drive, Damper: j.Damper * 1e3,
		At: func(rpm float64) (rising, falling, low, high float64, err error) {
			return c.window(j, rpm)
		},
	}
	if r.Vacuum != nil {
		in.Hose = r.Vacuum.Advice
	}
	in.Warnings = r.warnings()
	in.Verify = j.verification(c.best, c.risk)
	s, err := sheet.New(in)
	if err != nil {
		return nil, fmt.Errorf("job: setting sheet: %w", err)
	}
	return s, nil
}

// warnings is what the sheet must not be read without.
func (r *Report) warnings() []string {
	var out []string
	if r.Unproven != "" {
		out = append(out, "UNPROVEN. This engine may knock with this timing: the check under load comes before any work.")
	}
	if p := r.Readings.Parts; p != nil && !p.Agrees {
		out = append(out, "The listed parts do not agree with the readings: measure springs and weights again before building this.")
	}
	for _, f := range r.Findings {
		if f.Code == "falls" {
			out = append(out, "The readings fall as the speed rises: find out why before building this.")
		}
	}
	return out
}

// curves puts the curves side by side: at every speed of the sheet, the idle and
// a grid fine enough to draw.
func (j *Job) curves(fit *readings.Result, a *requirement, c *choice, s *sheet.Sheet) ([]CurveRow, error) {
	const fine = 50.0
	speeds := []float64{j.Idle, j.Top}
	for rpm := 200.0; rpm <= j.Top; rpm += fine {
		speeds = append(speeds, rpm)
	}
	if s != nil {
		for _, row := range s.Rows {
			speeds = append(speeds, row.RPM)
		}
	}
	slices.Sort(speeds)
	var rows []CurveRow
	first, last := a.mbt.Range()
	for _, rpm := range slices.Compact(speeds) {
		row := CurveRow{RPM: rpm}
		if present, err := fit.Curve.At(rpm); err == nil {
			row.Present = rounded(present)
		}
		if rpm >= first && rpm <= last {
			row.MBT = reading(a.mbt, rpm)
			row.Limit, row.LimitLow, row.LimitHigh = a.limitAt(rpm)
		}
		if c.best != nil {
			rising, falling, low, high, err := c.window(j, rpm)
			if err != nil {
				return nil, err
			}
			row.Rising, row.Falling, row.Low, row.High = rounded(rising), rounded(falling), rounded(low), rounded(high)
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// rounded returns a pointer to a rounded value.
func rounded(x float64) *float64 {
	x = sheet.Round(x)
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
func (j *Job) events(list []flyweights.Event) []EventRow {
	var out []EventRow
	for _, e := range list {
		out = append(out, EventRow{
			Kind: e.Kind.String(), RPM: math.Round(j.Drive.RPM(e.Omega)),
			Deg: sheet.Round(j.Drive.CrankDegrees(e.Theta)), Cause: e.Cause,
		})
	}
	return out
}
