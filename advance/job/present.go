package job

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance/internal/balance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// presentStage asks what the distributor does now, by its readings.
func presentStage() stage {
	return stage{
		name: "present curve", doing: "reading the light", share: 0.06,
		needs: []string{"readings", "title"},
		buys:  "static timing, start, total and travel as they are, what is wrong, and a sheet to set by",
		can:   func(w *work) bool { return w.job.has.readings },
		answer: func(ctx context.Context, w *work, _ func(float64)) error {
			curve, used, err := w.job.fit(ctx)
			if err != nil {
				return err
			}
			w.fit = &presentFit{Result: curve, used: used}
			w.report.Readings, err = w.job.readingsPart(ctx, curve, used)
			return err
		},
	}
}

// presentFit is the present curve with what went into it.
type presentFit struct {
	*readings.Result
	used facts
}

// calliperError is the standard error of a length taken with a calliper in m (common
// practice, no source); a slot's free length is the difference of two.
const calliperError = 0.1e-3

// slotKnown is the travel of the slot as a fact for the fit; nil where the slot was
// not measured.
func (j *Job) slotKnown() *readings.Known {
	if !j.has.slot {
		return nil
	}
	sigma := j.Drive.CrankDegrees(math.Sqrt2 * calliperError / j.Slot.Radius)
	return &readings.Known{Value: j.SlotTravel, Sigma: sigma}
}

// facts tells which facts from elsewhere went into the fit.
type facts struct{ static, slot bool }

// fit recovers the present curve. The readings speak first; where they do not
// contradict the slot as it was measured, or the static reading, these are used as
// further facts.
func (j *Job) fit(ctx context.Context) (fit *readings.Result, used facts, err error) {
	settings := j.Settings
	if settings.LowestRPM == 0 && j.has.idle {
		settings.LowestRPM = j.Idle // no reading can be taken below it
	}
	settings.KnownStatic = nil
	if j.Fitted != nil {
		settings.Listed = j.listed()
	}
	alone, err := readings.Fit(ctx, j.Readings, &settings)
	if err != nil {
		return nil, used, fmt.Errorf("%w: readings: %w", ErrJob, err)
	}
	// Readings on one level show no ramp to join the static reading to: a fit would
	// have to invent one.
	if k := j.Settings.KnownStatic; k != nil && !j.onMachine && alone.Model.Slopes > 0 && agrees(k, alone.Static) {
		settings.KnownStatic, used.static = k, true
	}
	if k := j.slotKnown(); k != nil && agrees(k, alone.Travel) && (alone.Travel.Bound == readings.Interval || j.ofOtherShaft(alone) == 0) {
		settings.KnownTravel, used.slot = k, true
	}
	if used == (facts{}) {
		return alone, used, nil
	}
	fit, err = readings.Fit(ctx, j.Readings, &settings)
	if err != nil {
		return nil, used, fmt.Errorf("%w: readings: %w", ErrJob, err)
	}
	return fit, used, nil
}

// listed is the curve of the parts listed as fitted, nil where they have none that
// readings could follow.
func (j *Job) listed() *balance.Curve {
	curve, err := j.present()
	if err != nil {
		return nil
	}
	c, err := readings.Listed(curve, j.Drive)
	if err != nil {
		return nil
	}
	return &c
}

// atRest says what became of the static reading.
func atRest(k *readings.Known, fit *readings.Result, used bool) string {
	level := fit.Static.Value
	switch {
	case used:
		return "agrees with the readings and was used with them"
	case fit.Model.Slopes > 0:
		return "contradicts the readings and was left out of the fit"
	case math.Abs(level-k.Value) <= 2*k.Sigma:
		return "is the level of all readings: they show the static timing, and no advance"
	}
	return fmt.Sprintf("is not joined to the readings, which all lie on one level of %.1f deg crank, that of the total: between the two lie %.1f deg of travel", level, level-k.Value)
}

// agrees reports whether a fact lies, within two of its standard errors, where the
// readings allow.
func agrees(k *readings.Known, e readings.Estimate) bool {
	low := e.Bound == readings.Interval || e.Bound == readings.AtLeast
	high := e.Bound == readings.Interval || e.Bound == readings.AtMost
	return !(low && k.Value < e.Low-2*k.Sigma) && !(high && k.Value > e.High+2*k.Sigma)
}

// readingsPart is what the readings say.
func (j *Job) readingsPart(ctx context.Context, fit *readings.Result, used facts) (*ReadingsPart, error) {
	const deg, rpm, slope = "deg crank", "rpm crank", "deg crank per 1000 rpm"
	p := &ReadingsPart{
		Model:  fit.Model.String(),
		Static: estimate(fit.Static, 1, deg), Start: estimate(fit.Start, 0, rpm), AllIn: estimate(fit.AllIn, 0, rpm),
		Travel: estimate(fit.Travel, 1, deg), Total: estimate(fit.Total, 1, deg),
		Slot: text.Round(j.SlotTravel), SlotUsed: used.slot,
	}
	if j.onMachine {
		own := Estimate{Bound: readings.Unknown.String(), Text: "not known, as the machine has a zero of its own"}
		p.Machine, p.Static, p.Total = true, own, own
	}
	if k := j.Settings.KnownStatic; k != nil {
		p.AtRest = &restReading{Degrees: text.Round(k.Value), Used: used.static, Note: atRest(k, fit, used.static)}
	}
	for _, e := range fit.Slopes {
		p.Slopes = append(p.Slopes, estimate(e, 1, slope))
	}
	for _, e := range fit.Knees {
		p.Knees = append(p.Knees, estimate(e, 0, rpm))
	}
	for _, c := range fit.Criteria {
		p.Criteria = append(p.Criteria, modelRow{Model: c.Model.String(), Probability: math.Round(1000*c.Probability) / 1000, Chosen: c.Chosen})
	}
	outlier := map[int]bool{}
	for _, i := range fit.Outliers {
		outlier[i] = true
	}
	for i, x := range fit.Readings {
		p.Points = append(p.Points, ReadPoint{
			RPM: x.RPM, Degrees: text.Round(x.Degrees), Residual: text.Round(fit.Residuals[i]),
			Outlier: outlier[i], Hose: x.HoseOn,
		})
	}
	var err error
	if p.HoseOn, err = j.hoseRows(fit); err != nil {
		return nil, err
	}
	p.HoseAdds = j.hoseAdds(fit)
	for _, c := range byCylinder(fit) {
		if p.Cylinders == nil {
			p.Cylinders = map[int]float64{}
		}
		p.Cylinders[c.number] = text.Round(c.mean)
	}
	return p, nil
}

// partsCheck compares the listed parts with the readings: the mean of the
// differences is the static timing, and what scatters about it is left over.
func (j *Job) partsCheck(fit *readings.Result) (*partsRow, error) {
	curve, err := j.present()
	if err != nil {
		return nil, err
	}
	skip := map[int]bool{}
	for _, i := range fit.Outliers {
		skip[i] = true
	}
	// Each reading counts by its own error, which grows with the slope.
	var sum, weights, squares, free float64
	diff := make([]float64, len(j.Readings))
	weight := make([]float64, len(j.Readings))
	for i, x := range j.Readings {
		if x.HoseOn || skip[i] {
			continue
		}
		at := func(rpm float64) float64 {
			return j.Drive.CrankDegrees(curve.Theta(j.Drive.Omega(rpm), x.Direction))
		}
		spread := (at(x.RPM+j.Settings.SigmaRPM) - at(math.Max(0, x.RPM-j.Settings.SigmaRPM))) / 2
		diff[i] = x.Degrees - at(x.RPM)
		weight[i] = 1 / (j.Settings.SigmaDegrees*j.Settings.SigmaDegrees + spread*spread)
		sum, weights, free = sum+weight[i]*diff[i], weights+weight[i], free+1
	}
	if free < 2 {
		return nil, nil // one reading agrees with any curve
	}
	mean := sum / weights
	for i := range diff {
		squares += weight[i] * (diff[i] - mean) * (diff[i] - mean)
	}
	off := math.Sqrt(squares / (free - 1))
	return &partsRow{
		Start: text.Round(j.Drive.RPM(curve.Start(flyweights.Rising))),
		AllIn: text.Round(j.Drive.RPM(curve.AllIn(flyweights.Rising))),
		Off:   text.Round(off), Agrees: off <= 2,
	}, nil
}
