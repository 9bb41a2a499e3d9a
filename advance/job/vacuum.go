package job

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/knock"
	"example.org/bobweight/vacuum"
)

// unitStage asks what the vacuum unit does by itself.
func unitStage() stage {
	return stage{
		name: "what the vacuum unit does", doing: "pulling the vacuum unit",
		needs: []string{"vacuum.diaphragm", "vacuum.rate", "vacuum.preload", "vacuum.travel", "vacuum.arm", "vacuum.pump"},
		buys:  "at which vacuum the unit begins, is fully pulled, and how many degrees it gives",
		can:   func(w *work) bool { return w.job.has.unit },
		answer: func(_ context.Context, w *work, _ func(float64)) error {
			w.report.Vacuum = w.job.unitPart()
			w.report.Vacuum.Do = w.report.Vacuum.Advice
			return nil
		},
	}
}

// hoseStage asks where the hose belongs and where the limiter must stand.
func hoseStage() stage {
	return stage{
		name: "where the vacuum hose belongs", doing: "following the vacuum hose", share: 0.07,
		needs: []string{"vacuum", "distributor.rotor"},
		also:  []string{"readings", "distributor", "drawer"},
		got:   func(w *work) bool { return w.setup() != nil },
		buys:  "which source the hose belongs on, where the limiter must stand, and what the light then shows",
		can: func(w *work) bool {
			return w.job.has.hose && w.setup() != nil && (w.wants != nil || w.job.Vacuum.Wanted > 0)
		},
		answer: func(ctx context.Context, w *work, _ func(float64)) error { return w.hose(ctx) },
	}
}

// unitPart is the law of the unit, and what it means for the hose at idle.
func (j *Job) unitPart() *VacuumPart {
	v := j.Vacuum
	p := &VacuumPart{
		Onset: text.Round(v.Unit.Onset() / vacuum.InchOfMercury), Full: text.Round(v.Unit.Full() / vacuum.InchOfMercury),
		Most: text.Round(j.Drive.CrankDegrees(v.Unit.Most())),
	}
	switch {
	case v.noArm && !v.Pumped.Most.NoLow:
		p.Most = 0
		p.Advice = append(p.Advice, fmt.Sprintf("The unit begins at %.1f inHg and is fully pulled at %.1f inHg, with %.1f mm of rod; the length of its arm turns that into degrees.", p.Onset, p.Full, 1e3*usualArm*math.Sin(v.Unit.Most())))
	case v.turnUnread():
		p.Most = 0
		p.Advice = append(p.Advice, fmt.Sprintf("The unit begins at %.1f inHg and is fully pulled at %.1f inHg; how many degrees it gives was not read.", p.Onset, p.Full))
	default:
		p.Advice = append(p.Advice, fmt.Sprintf("The unit begins at %.1f inHg, is fully pulled at %.1f inHg and then gives %.1f deg crank.", p.Onset, p.Full, p.Most))
	}
	if j.gives("vacuum.idle_vacuum") {
		p.Advice = append(p.Advice, v.atIdle())
	}
	if v.Pumped != nil {
		p.Advice = append(p.Advice, j.pumped()...)
	}
	return p
}

// atIdle says which source keeps idle steady, by the unit and the engine's vacuum alone.
func (v *VacuumUnit) atIdle() string {
	idle := v.AtIdle / vacuum.InchOfMercury
	switch {
	case v.AtIdle-idleWander >= v.Unit.Full():
		return fmt.Sprintf("At the idle's %.1f inHg it is fully pulled with margin: idle is steady on manifold vacuum, and on the ported source too.", idle)
	case v.AtIdle+idleWander <= v.Unit.Onset():
		return fmt.Sprintf("The idle's %.1f inHg do not reach its onset: idle is steady on either source.", idle)
	}
	return fmt.Sprintf("At the idle's %.1f inHg it stands on or near its ramp: on manifold vacuum idle would wander, so the hose belongs on the ported source.", idle)
}

// idleWander is how far the vacuum of an engine wanders with heat, load and weather,
// Pa (common practice, no source).
const idleWander = 1.5 * vacuum.InchOfMercury

// pumped says how well the readings with a hand pump know the unit.
func (j *Job) pumped() []string {
	id := j.Vacuum.Pumped
	inHg := func(e vacuum.PumpEstimate) string {
		low, high := fmt.Sprintf("%.1f", e.Low/vacuum.InchOfMercury), fmt.Sprintf("%.1f", e.High/vacuum.InchOfMercury)
		switch {
		case e.NoLow && e.NoHigh:
			return "not shown by the readings"
		case e.NoLow:
			return "at most " + high + " inHg"
		case e.NoHigh:
			return "at least " + low + " inHg"
		}
		return low + " to " + high + " inHg"
	}
	out := []string{fmt.Sprintf("By the pump's readings, with 95 %% intervals: onset %s, full pull %s.", inHg(id.Onset), inHg(id.Full))}
	return append(out, id.Notes...)
}

// usualCruise is the middle of 45 to 55 crank degrees, the totals at light cruise that road
// cars with open chambers have (common practice, no source).
const usualCruise = 50.0

// hose advises on the hose for what is to be set.
func (w *work) hose(ctx context.Context) error {
	j, v, best := w.job, w.job.Vacuum, w.setup()
	cruise, err := best.at(v.Cruise)
	if err != nil {
		return fmt.Errorf("job: cruise: %w", err)
	}
	idle, err := best.at(j.Idle)
	if err != nil {
		return fmt.Errorf("job: idle: %w", err)
	}
	part := &VacuumPart{}
	wanted := v.Wanted
	if wanted == 0 {
		if wanted, err = w.cruiseWish(part); err != nil {
			return err
		}
	}
	light, err := w.lightLoads(ctx, best)
	if err != nil {
		return err
	}
	advice, err := mapping.Advise(mapping.Situation{
		Light: light, Margin: j.Wish.KnockMargin, Uncertain: v.uncertain(),
		Unit: v.Unit, Drive: j.Drive, IdleVacuum: v.AtIdle, CruiseVacuum: v.AtCruise,
		Static: best.static, MechanicalIdle: idle - best.static,
		MechanicalCruise: cruise - best.static, WantedCruise: wanted,
	})
	if err != nil {
		return fmt.Errorf("%w: vacuum: %w", ErrJob, err)
	}
	if err := best.widen(&advice.Idle, j.Idle); err != nil {
		return err
	}
	if err := best.widen(&advice.Cruise, v.Cruise); err != nil {
		return err
	}
	part.fill(advice, v.Pumped != nil && !v.ArmKnown)
	unknown := func(l mapping.LightLoad) bool { return l.Requirement.MBT == 0 }
	if i := slices.IndexFunc(light, unknown); i >= 0 && w.wants != nil {
		part.Advice = append(part.Advice, fmt.Sprintf("At so light a load best torque is not known from %.0f rpm on: the limiter is not sized by it there.", light[i].RPM))
	}
	w.report.Vacuum = part
	return w.driven(ctx, part, advice, best)
}

// cruiseWish is what the engine wants at part load: best torque at the cruise speed and
// inlet pressure, less what the knock limit there forbids.
func (w *work) cruiseWish(part *VacuumPart) (float64, error) {
	j, v := w.job, w.job.Vacuum
	c := j.Condition
	c.RPM, c.InletPressure = v.Cruise, c.Ambient-v.AtCruise
	want, err := w.wants.at(c)
	unknown := errors.Is(err, knock.ErrNotKnown) || err == nil && !want.MBTKnown
	if err != nil && !unknown {
		return 0, fmt.Errorf("%w: vacuum.cruise_vacuum: %w", ErrJob, err)
	}
	wanted := want.MBT
	where := fmt.Sprintf("At cruise, %.0f rpm and %.1f inHg, best torque is", v.Cruise, v.AtCruise/vacuum.InchOfMercury)
	if unknown {
		wanted = usualCruise
		part.Advice = append(part.Advice, fmt.Sprintf("%s NOT KNOWN: its band is wider than 40 deg at so light a load. A total of %.0f deg is taken, the middle of what is usual there; vacuum.cruise_total says better.", where, wanted))
	} else {
		part.Advice = append(part.Advice, fmt.Sprintf("%s computed at %.1f deg (band %.1f to %.1f).", where, want.MBT, want.MBTLow, want.MBTHigh))
	}
	if want.KnockLimited {
		wanted = min(wanted, want.KLSA-j.Wish.KnockMargin)
	}
	return wanted, nil
}

// fill writes an advice down; the rod's travel is left out where the pump's readings
// tell degrees only.
func (part *VacuumPart) fill(advice *mapping.Advice, noRod bool) {
	part.Onset = text.Round(advice.Unit.Onset() / vacuum.InchOfMercury)
	part.Full = text.Round(advice.Unit.Full() / vacuum.InchOfMercury)
	part.Most = text.Round(advice.Degrees)
	part.Source = advice.Source.String()
	part.Idle, part.Cruise = text.Round(advice.Idle.Degrees), text.Round(advice.Cruise.Degrees)
	for i, s := range advice.Sentences() {
		if noRod {
			s = withoutRod(s)
		}
		part.Advice = append(part.Advice, s)
		if i > 0 {
			part.Do = append(part.Do, s) // the first says what the sheet's own step says
		}
	}
	if advice.LargestRPM > 0 {
		largest := fmt.Sprintf("The largest total with the hose on, at light load: %.1f deg at %.0f rpm.", advice.Largest, advice.LargestRPM)
		part.Advice, part.Do = append(part.Advice, largest), append(part.Do, largest)
	}
}

// lightStep is the distance between the speeds at which the engine may run at light
// load, rpm.
const lightStep = 500.0

// lightLoads are the speeds from cruise to the top at which the engine may run at light
// load, with what it wants there at the inlet pressure of cruise.
func (w *work) lightLoads(ctx context.Context, to *setup) ([]mapping.LightLoad, error) {
	j, v := w.job, w.job.Vacuum
	var speeds []float64
	var points []knock.Condition
	for rpm := v.Cruise; rpm <= j.Top; rpm += lightStep {
		c := j.Condition
		c.RPM, c.InletPressure = rpm, c.Ambient-v.AtCruise
		speeds, points = append(speeds, rpm), append(points, c)
	}
	if w.wants != nil {
		if err := w.wants.all(ctx, points); err != nil {
			return nil, err
		}
	}
	var out []mapping.LightLoad
	for i, rpm := range speeds {
		at, err := to.at(rpm)
		if err != nil {
			return nil, fmt.Errorf("job: light load: %w", err)
		}
		one := mapping.LightLoad{RPM: rpm, Mechanical: at - to.static}
		if w.wants != nil {
			want, err := w.wants.at(points[i])
			if err != nil && !errors.Is(err, knock.ErrNotKnown) {
				return nil, fmt.Errorf("%w: vacuum.cruise_vacuum: %w", ErrJob, err)
			}
			if !want.MBTKnown {
				want.MBT = 0 // not known: the trade's usual total limits it
			}
			one.Requirement = mapping.Requirement{MBT: want.MBT, KnockLimited: want.KnockLimited, KLSA: want.KLSA}
		}
		out = append(out, one)
	}
	return out, nil
}

// uncertain is half the width of the interval of onset and full pull, Pa, where they
// were read with a hand pump.
func (v *VacuumUnit) uncertain() float64 {
	if v.Pumped == nil {
		return 0
	}
	half := func(e vacuum.PumpEstimate) float64 {
		if e.NoLow || e.NoHigh {
			return idleWander
		}
		return (e.High - e.Low) / 2
	}
	return max(half(v.Pumped.Onset), half(v.Pumped.Full))
}

// withoutRod leaves out of the advice where it gives the limiter in travel of the rod.
func withoutRod(s string) string {
	before, behind, ok := strings.Cut(s, " mm of rod)")
	if open := strings.LastIndex(before, " ("); ok && open >= 0 && strings.Trim(before[open+2:], "0123456789.") == "" {
		return before[:open] + behind
	}
	return s
}

// widen lays the sheet's own window at that speed, hose off, round what the unit
// adds, in place of the degree that the advice allows for the light: a build that
// passes with the hose off passes with it on.
func (s *setup) widen(w *mapping.Window, rpm float64) error {
	rising, _, low, high, err := s.window(rpm)
	if err != nil {
		return err
	}
	w.Low += mapping.LightError - (rising - low)
	w.High += high - rising - mapping.LightError
	// Rounded as the sheet is, so that the two print the same digit.
	w.Degrees, w.Low, w.High = text.Round(w.Degrees), text.Round(w.Low), text.Round(w.High)
	return nil
}
