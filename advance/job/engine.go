package job

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/knock"
)

// engineStep is the distance between the speeds at which the engine is asked.
const engineStep = 500.0

// engineStage asks what the engine wants and tolerates.
func engineStage() stage {
	return stage{
		name: "what the engine wants and tolerates", doing: "asking the engine", share: 0.2,
		needs: []string{"engine"},
		buys:  "best torque and the knock limit at full load; without the engine nothing is said of torque or knock",
		can:   func(w *work) bool { return w.job.has.engine },
		answer: func(_ context.Context, w *work, _ func(float64)) (err error) {
			<-w.ahead.ready // ends with the context
			if w.wants, err = w.ahead.wants, w.ahead.err; err == nil {
				w.report.Engine = w.wants.part(w.job)
			}
			return err
		},
	}
}

// requirement is what the engine wants and tolerates, in the forms that the rest of
// the job takes.
type requirement struct {
	model *knock.Model
	light *lightLoad
	want  []knock.SparkRequirement
	mbt   advance.Curve
	limit advance.Curve // best estimate; where none was found, the highest spark searched
	low   advance.Curve // of the fuel that knocks soonest, where the file leaves the fuel open
	loss  []recipes.LossRow
}

// speeds are the engine speeds of full load: the lowest, every step, and the top.
func (j *Job) speeds() []float64 {
	out := []float64{j.From}
	for rpm := (math.Floor(j.From/engineStep) + 1) * engineStep; rpm < j.Top; rpm += engineStep {
		out = append(out, rpm)
	}
	return append(out, j.Top)
}

// calibrated is the model of an engine that fits its observations.
func (j *Job) calibrated(ctx context.Context, engine knock.Engine) (*knock.Model, error) {
	model, err := knock.New(engine)
	if err != nil {
		return nil, fmt.Errorf("%w: engine: %w", ErrJob, err)
	}
	told := slices.Clone(j.Observed)
	if j.byRatio {
		o, err := model.OctaneByRatio()
		if err != nil {
			return nil, fmt.Errorf("%w: engine.observed: %w", ErrJob, err)
		}
		told = append(told, o)
	}
	if model, err = model.Calibrate(ctx, told...); err != nil {
		return nil, fmt.Errorf("%w: engine.observed: %w", ErrJob, err)
	}
	return model, nil
}

// wanted asks a model at the speeds.
func (j *Job) wanted(ctx context.Context, model *knock.Model, conditions []knock.Condition) ([]knock.SparkRequirement, error) {
	want, err := model.Each(ctx, conditions, nil)
	if err != nil && len(j.Observed) > 0 && ctx.Err() == nil {
		return nil, fmt.Errorf("%w: engine.observed: with them the engine goes beyond what the model covers, so one of them is likely wrong: %w", ErrJob, err)
	}
	if err != nil {
		return nil, fmt.Errorf("%w: engine: %w", ErrJob, err)
	}
	return want, nil
}

// widen spreads the band of the limit by what the fuel leaves open: the limit of the
// fuel that knocks soonest, as far below as above.
func (j *Job) widen(ctx context.Context, a *requirement, conditions []knock.Condition) error {
	want := a.want
	if j.FuelLow == nil {
		return nil
	}
	engine := j.Engine
	engine.Fuel = *j.FuelLow
	model, err := j.calibrated(ctx, engine)
	if err != nil {
		return err
	}
	low, err := j.wanted(ctx, model, conditions)
	if err != nil {
		return err
	}
	limit := make([]advance.Point, 0, len(low))
	for i := range want {
		w := &want[i]
		limit = append(limit, advance.Point{RPM: w.RPM, Degrees: low[i].KLSA})
		fuel := math.Max(0, w.KLSA-low[i].KLSA)
		w.KLSALow = w.KLSA - math.Hypot(w.KLSA-w.KLSALow, fuel)
		w.KLSAHigh = w.KLSA + math.Hypot(w.KLSAHigh-w.KLSA, fuel)
	}
	a.low, err = advance.NewCurve(limit)
	return err
}

// sparkRequirement runs the engine model over the speeds.
func (j *Job) sparkRequirement(ctx context.Context) (*requirement, error) {
	model, err := j.calibrated(ctx, j.Engine)
	if err != nil {
		return nil, err
	}
	a := &requirement{model: model, light: &lightLoad{told: map[knock.Condition]told{}}}
	conditions := make([]knock.Condition, 0, 16)
	for _, rpm := range j.speeds() {
		c := j.Condition
		c.RPM = rpm
		conditions = append(conditions, c)
	}
	if a.want, err = j.wanted(ctx, model, conditions); err != nil {
		return nil, err
	}
	if err := j.widen(ctx, a, conditions); err != nil {
		return nil, err
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
		a.loss = append(a.loss, row)
	}
	if a.mbt, err = advance.NewCurve(mbt); err != nil {
		return nil, err
	}
	a.limit, err = advance.NewCurve(limit)
	return a, err
}

// part is the engine's part of the report.
func (a *requirement) part(j *Job) *EnginePart {
	p := &EnginePart{
		Calibrated: len(j.Observed) > 0 || j.byRatio, Margin: j.Wish.KnockMargin,
		Fuel: j.fuelText(), Doubt: j.fitDoubt(a.want), Refused: j.outside(a.want),
	}
	r := text.Round
	for _, w := range a.want {
		p.Want = append(p.Want, WantRow{
			RPM: w.RPM, MBT: r(w.MBT), MBTLow: r(w.MBTLow), MBTHigh: r(w.MBTHigh),
			FlatLate: r(w.MBTLate), FlatEarly: r(w.MBTEarly),
			Limited: w.KnockLimited, Limit: r(w.KLSA), LimitLow: r(w.KLSALow), LimitHigh: r(w.KLSAHigh),
		})
	}
	return p
}

// outsideFit refuses a knock limit.
const outsideFit = "The knock limit is NOT KNOWN: fuel or compression ratio lie outside what the knock model was fitted on, and nothing was heard on this engine."

// outside reports that no best estimate of the limit is to be given: the engine lies outside
// what the model was fitted on, and nothing was heard on it.
func (j *Job) outside(want []knock.SparkRequirement) bool {
	return !j.heard() && slices.ContainsFunc(want, func(w knock.SparkRequirement) bool { return w.Extrapolated })
}

// fitDoubt says where the engine lies outside what the model was fitted on.
func (j *Job) fitDoubt(want []knock.SparkRequirement) string {
	var say []string
	if slices.ContainsFunc(want, func(w knock.SparkRequirement) bool { return w.Extrapolated }) {
		one := "OUTSIDE THE FIT: the knock model was fitted on fuels of 90 octane and more and on compression ratios of 7 and more. On poorer fuel or a lower ratio its limit has been seen to lie 15 deg off, on the side of knock too early."
		if j.outside(want) {
			one += " So no best estimate of the limit is given, only the band."
		}
		say = append(say, one+" Set by what is heard on this engine: give it under engine.observed.")
	}
	for _, w := range want {
		if !w.MBTKnown {
			say = append(say, fmt.Sprintf("Best torque at %.0f rpm is not known: its band is wider than 40 deg. Set nothing by it.", w.RPM))
			break
		}
	}
	return strings.Join(say, " ")
}

// fuelText names the fuel, and how it was taken where the file leaves it open.
func (j *Job) fuelText() string {
	taken := fmt.Sprintf("%g RON, %g MON", j.Engine.Fuel.RON, j.Engine.Fuel.MON)
	switch list := j.file.Engine.Fuel; {
	case j.FuelLow == nil:
		return taken
	case len(list) == 0:
		return "fuel not given, taken as " + taken
	default:
		given, err := list[0].MarshalText()
		if err != nil {
			return taken
		}
		return fmt.Sprintf("%s, taken as %s", given, taken)
	}
}
