package job

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock"
)

// risk is how a recipe stands to the knock limit, which is known only within its
// band. Crank degrees and engine rpm.
type risk struct {
	judged            bool    // an engine was there to judge by
	outside           bool    // it lies outside what the knock model was fitted on, and nothing was heard on it
	margin, marginRPM float64 // to the limit's best estimate
	chance, chanceRPM float64 // 0 to 1, that trace knock is met at full load
	retard, retardRPM float64 // what would bring the total below the band's low edge
	first             float64 // 0 to 1, that it is met still with the total retarded for the first pull
	static            float64 // of what is to be set
}

// risk weighs a recipe against the limit.
func (j *Job) risk(r *recipes.Recipe, a *requirement) (at risk, err error) {
	at.static = r.Static
	if a == nil {
		return at, nil
	}
	if at.margin, at.marginRPM, err = r.MarginTo(a.limit); err != nil {
		return risk{}, fmt.Errorf("job: knock limit: %w", err)
	}
	at.judged, at.outside = true, j.outside(a.want)
	return at, at.weigh(j, a, r.AllIn, func(rpm float64) (float64, error) {
		rising, err := r.At(rpm, flyweights.Rising)
		if err != nil {
			return 0, err
		}
		falling, err := r.At(rpm, flyweights.Falling)
		return max(rising, falling), err
	})
}

// weigh finds the chances of a curve with its margin: at the speeds asked, between them,
// where the curve bends and where it comes nearest to the best estimate.
func (at *risk) weigh(j *Job, a *requirement, allIn float64, curve func(rpm float64) (float64, error)) error {
	speeds := append(j.speeds(), math.Min(math.Max(allIn, j.From), j.Top), at.marginRPM)
	for rpm := j.From; rpm < j.Top; rpm += sheet.Step {
		speeds = append(speeds, rpm)
	}
	totals := make([]float64, len(speeds))
	for i, rpm := range speeds {
		w := a.between(rpm)
		total, err := curve(w.RPM)
		if err != nil {
			return fmt.Errorf("job: knock limit: %w", err)
		}
		// The errors of the limit at two speeds go together, so the worst speed
		// stands for all.
		if c := knocks(w, total, j.Settings.SigmaDegrees); c > at.chance {
			at.chance, at.chanceRPM = c, w.RPM
		}
		if back := total - w.KLSALow; back > at.retard {
			at.retard, at.retardRPM = back, w.RPM
		}
		totals[i] = total
	}
	for i, rpm := range speeds {
		at.first = max(at.first, knocks(a.between(rpm), totals[i]-at.back(), j.Settings.SigmaDegrees))
	}
	return nil
}

// back is how far the distributor is retarded for the first pull, crank degrees: never
// so far that the spark at rest comes after top centre. Where no engine tells, it is the
// furthest.
func (at *risk) back() float64 {
	most := max(0, min(furthestBack, math.Floor(at.static)))
	if !at.judged {
		return most
	}
	return min(max(math.Ceil(at.retard), 0), most)
}

// knocks is the chance that a total meets trace knock: the limit taken as normal
// on either side of its best estimate with 5 % beyond each edge of its band, the
// total as set within the error of the light.
func knocks(w knock.SparkRequirement, total, light float64) float64 {
	edge := w.KLSA - w.KLSALow
	if total > w.KLSA {
		edge = w.KLSAHigh - w.KLSA
	}
	deviation := math.Hypot(edge/distuv.UnitNormal.Quantile(0.95), light)
	return distuv.UnitNormal.CDF((total - w.KLSA) / deviation)
}

// heard reports whether knock was ever heard on this engine, at its trace or before it
// was backed off from. Without, the band of the limit is wide.
func (j *Job) heard() bool {
	for _, o := range j.Observed {
		if o.Kind == knock.TraceKnock || o.Kind == knock.BackedOff {
			return true
		}
	}
	return false
}

// relaxedLimits lists the parts of the way from the limit's best estimate to the high edge
// of its band at which the drawer is tried in turn. Half-way up four engines in five
// would knock: nobody should set out to prove more than that.
var relaxedLimits = [...]float64{0.25, 0.5}

// relaxed is the limit a part of that way up.
func (a *requirement) relaxed(part float64) (advance.Curve, error) {
	limit := make([]advance.Point, 0, len(a.want))
	for _, w := range a.want {
		limit = append(limit, advance.Point{RPM: w.RPM, Degrees: w.KLSA + part*(w.KLSAHigh-w.KLSA)})
	}
	return advance.NewCurve(limit)
}

// unproven is what the report says where recipes keep only to a relaxed limit.
func (j *Job) unproven(a *requirement) string {
	at := a.near(j.Wish.AllIn.High)
	return fmt.Sprintf("UNPROVEN. No combination keeps %.1f deg below the best estimate of the knock limit. That limit is reckoned without any knock heard on this engine, and may lie anywhere in its band: at %.0f rpm from %.1f to %.1f deg crank. The recipes below break it by about as little as the drawer allows and stay inside the band, so this engine may knock with them. Verify the timing under load as the sheet says before normal use, and give the job what you hear under engine.observed.",
		j.Wish.KnockMargin, at.RPM, text.Round(at.KLSALow), text.Round(at.KLSAHigh))
}

// between returns the knock limit and its band at a speed, straight between the
// speeds asked and held beyond them.
func (a *requirement) between(rpm float64) knock.SparkRequirement {
	i := 0
	for i < len(a.want)-1 && a.want[i].RPM < rpm {
		i++
	}
	w := a.want[i]
	if before := a.want[max(i-1, 0)]; before.RPM < rpm && rpm < w.RPM {
		back := (w.RPM - rpm) / (w.RPM - before.RPM)
		w.KnockLimited = w.KnockLimited && before.KnockLimited
		w.KLSA += back * (before.KLSA - w.KLSA)
		w.KLSALow += back * (before.KLSALow - w.KLSALow)
		w.KLSAHigh += back * (before.KLSAHigh - w.KLSAHigh)
	}
	w.RPM = rpm
	return w
}

// near returns what the engine wants at the highest speed asked that does not lie
// above rpm, or the lowest.
func (a *requirement) near(rpm float64) knock.SparkRequirement {
	at := a.want[0]
	for _, w := range a.want {
		if w.RPM <= rpm {
			at = w
		}
	}
	return at
}

// worthVerifying is how far a total must reach past the low edge of the band before
// the sheet asks for it to be proved in steps, crank degrees: the step itself.
const worthVerifying = 2.0

// furthestBack is how far the distributor is retarded for the first pull, crank
// degrees: later spark heats exhaust valves and manifold (common practice, no
// source).
const furthestBack = 10.0

// verification says how to find out whether the engine bears a total.
func (j *Job) verification(static, total float64, at risk) []string {
	if at.judged && !(at.retard >= worthVerifying) {
		return nil
	}
	back := at.back()
	steps := []string{
		"The knock limit is NOT KNOWN: the engine is not described.",
		fmt.Sprintf("First retard the distributor by %.0f deg crank: total %.1f instead of %.1f, static %.1f instead of %.1f.", back, total-back, total, static-back, static),
	}
	if back == 0 {
		steps[1] = fmt.Sprintf("The static timing of %.1f deg leaves no room to begin more retarded: open the throttle little by little at the first pull.", static)
	}
	if at.judged {
		steps[0] = fmt.Sprintf("Chance of trace knock at full load: %.0f %%. At %.0f rpm the band of the limit begins %.1f deg below this timing.", 100*at.chance, at.retardRPM, at.retard)
	}
	if at.outside {
		steps[0] = fmt.Sprintf("%s At %.0f rpm the band in which it may lie begins %.1f deg below this timing.", outsideFit, at.retardRPM, at.retard)
	}
	if left := at.retard - back; left > 0 && at.outside {
		steps = append(steps, fmt.Sprintf("That still lies %.1f deg inside the band: it may knock there too, so open the throttle little by little at the first pull.", left))
	} else if left > 0 {
		steps = append(steps, fmt.Sprintf("That still lies %.1f deg inside the band: it may knock there too (chance %.0f %%), so open the throttle little by little at the first pull.", left, 100*at.first))
	}
	return append(steps,
		fmt.Sprintf("On a dynamometer, or where law and traffic allow it with a helper who drives: pull briefly at full load from %.0f rpm upwards, in a middle gear and never the highest, engine hot, and listen.", j.From),
		fmt.Sprintf("No knock: advance by %.0f deg and pull again, up to the total above.", worthVerifying),
		fmt.Sprintf("First trace of knock: throttle back at once and retard by %.1f deg. Note the speed and the spark there for the job (engine.observed).", max(j.Wish.KnockMargin, worthVerifying)),
	)
}
