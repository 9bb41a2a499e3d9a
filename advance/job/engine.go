package job

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/knock"
)

// engineStep is the distance between the speeds at which the engine is asked.
const engineStep = 500.0

// requirement is what the engine wants and tolerates, in the forms that the rest of
// the job takes.
type requirement struct {
	model *knock.Model
	want  []knock.SparkRequirement
	mbt   advance.Curve
	limit advance.Curve // best estimate; where none was found, the highest spark searched
	loss  recipes.Loss
}

// speeds are the engine speeds of full load: the lowest, every step, and the top.
func (j *Job) speeds() []float64 {
	out := []float64{j.From}
	for rpm := (math.Floor(j.From/engineStep) + 1) * engineStep; rpm < j.Top; rpm += engineStep {
		out = append(out, rpm)
	}
	return append(out, j.Top)
}

// sparkRequirement runs the engine model over the speeds.
func (j *Job) sparkRequirement(ctx context.Context, progress func(done, total int)) (*requirement, error) {
	model, err := knock.New(j.Engine, nil)
	if err != nil {
		return nil, fmt.Errorf("%w: engine: %w", ErrJob, err)
	}
	if len(j.Observed) > 0 {
		if model, err = model.Calibrate(j.Observed...); err != nil {
			return nil, fmt.Errorf("%w: engine.observed: %w", ErrJob, err)
		}
	}
	a := &requirement{model: model}
	conditions := make([]knock.Condition, 0, 16)
	for _, rpm := range j.speeds() {
		c := j.Condition
		c.RPM = rpm
		conditions = append(conditions, c)
	}
	if a.want, err = model.Each(ctx, conditions, progress); err != nil {
		if len(j.Observed) > 0 && ctx.Err() == nil {
			return nil, fmt.Errorf("%w: engine.observed: with them the engine goes beyond what the model covers, so one of them is likely wrong: %w", ErrJob, err)
		}
		return nil, fmt.Errorf("%w: engine: %w", ErrJob, err)
	}
	var mbt, limit []advance.Point
	for i, w := range a.want {
		mbt = append(mbt, advance.Point{RPM: w.RPM, Degrees: w.MBT})
		limit = append(limit, advance.Point{RPM: w.RPM, Degrees: w.KLSA})
		row := recipes.LossRow{RPM: w.RPM}
		for _, off := range []float64{-30, -20, -12, -6, 0, 6, 12} {
			lost, err := model.TorqueLoss(conditions[i], w.MBT+off)
			if err != nil && len(j.Observed) > 0 {
				return nil, fmt.Errorf("%w: engine.observed: taken together they put best torque at %.1f deg crank at %.0f rpm crank, which no engine wants: observe again", ErrJob, w.MBT, w.RPM)
			}
			if err != nil {
				return nil, fmt.Errorf("%w: engine: %w", ErrJob, err)
			}
			row.Off = append(row.Off, off)
			row.Lost = append(row.Lost, lost)
		}
		a.loss.Rows = append(a.loss.Rows, row)
	}
	if a.mbt, err = advance.NewCurve(mbt); err != nil {
		return nil, err
	}
	a.limit, err = advance.NewCurve(limit)
	return a, err
}

// part is the engine's part of the report.
func (a *requirement) part(j *Job) EnginePart {
	p := EnginePart{
		Calibrated: len(j.Observed) > 0, Margin: j.Wish.KnockMargin,
		Fuel: fmt.Sprintf("%g RON, %g MON", j.Engine.Fuel.RON, j.Engine.Fuel.MON),
	}
	r := sheet.Round
	for _, w := range a.want {
		p.Want = append(p.Want, WantRow{
			RPM: w.RPM, MBT: r(w.MBT), MBTLow: r(w.MBTLow), MBTHigh: r(w.MBTHigh),
			FlatLate: r(w.MBTLate), FlatEarly: r(w.MBTEarly),
			Limited: w.KnockLimited, Limit: r(w.KLSA), LimitLow: r(w.KLSALow), LimitHigh: r(w.KLSAHigh),
		})
	}
	return p
}
