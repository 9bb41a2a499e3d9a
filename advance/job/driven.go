package job

import (
	"context"
	"errors"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/springs/valid"
	"example.org/bobweight/vacuum"
)

// driven asks what hose and unit do on the running engine: whether idle stays put, and
// whether the unit lets go soon enough when the throttle is snapped open. Throttle, port
// and hose are taken as of ordinary size.
func (w *work) driven(ctx context.Context, part *VacuumPart, advice *mapping.Advice, to *setup) error {
	if w.wants == nil || !(advice.Degrees > 0) {
		return nil // no engine tells
	}
	j := w.job
	d, err := to.distributor(j, &advice.Unit)
	if err != nil {
		return err
	}
	sys, err := mapping.OrdinarySystem(j.Engine, air.Ambient{Pressure: j.Condition.Ambient, Temperature: j.Condition.InletTemperature})
	if err != nil {
		return fmt.Errorf("job: vacuum hose: %w", err)
	}
	sys.Source = advice.Source
	if part.Idling, err = w.idling(d, sys); err != nil {
		return err
	}
	if part.Snapped, err = w.snapped(ctx, d, sys); err != nil {
		return err
	}
	part.Advice = append(part.Advice, part.Idling.text(), part.Snapped.text(j.Wish.KnockMargin))
	if i := part.Idling; i.Told && !i.Steady {
		part.Do = append(part.Do, i.text())
	}
	if part.Snapped.Beyond > 0 {
		part.Do = append(part.Do, fmt.Sprintf("Open the throttle gently: the unit takes %.1f s to let go, and the engine may knock until then.", part.Snapped.Back))
	}
	return nil
}

// idleEfficiency is the indicated efficiency of an engine at idle (common practice, no
// source).
const idleEfficiency = 0.22

// idling asks whether idle stays put with the hose on.
func (w *work) idling(d *advance.Distributor, sys *vacuum.System) (*idleRow, error) {
	j := w.job
	c := j.Condition
	c.RPM, c.InletPressure = j.Idle, c.Ambient-j.Vacuum.AtIdle
	want, err := w.wants.at(c)
	if err != nil {
		return &idleRow{Why: "the engine model does not reach that vacuum at that speed"}, nil
	}
	in := mapping.Idling{Distributor: d, System: sys, RPM: j.Idle, MBT: want.MBT, ManifoldVacuum: j.Vacuum.AtIdle}
	in.Work.Efficiency = idleEfficiency
	s, err := mapping.Idle(in)
	switch {
	case errors.Is(err, valid.ErrRange):
		return &idleRow{Why: "no ordinary friction belongs to that vacuum at that speed; read the gauge again"}, nil
	case err != nil:
		return nil, fmt.Errorf("job: idle: %w", err)
	}
	return &idleRow{Told: true, Steady: s.Steady, Gain: text.Round(s.Gain), Why: s.Why}, nil
}

// text is what the report says of idle.
func (r *idleRow) text() string {
	switch {
	case !r.Told:
		return "Idle with the hose on is not judged: " + r.Why + "."
	case r.Steady:
		return "Idle with the hose on stays steady: " + r.Why + "."
	}
	return "IDLE WANDERS with the hose on: " + r.Why + "."
}

// inletSteps is at how many inlet pressures between cruise and full load the engine is
// asked; between them its answer runs straight.
const inletSteps = 6

// snapped asks how the spark stands to the knock limit while the throttle is snapped
// open at cruise and the unit lets go.
func (w *work) snapped(ctx context.Context, d *advance.Distributor, sys *vacuum.System) (*snapRow, error) {
	j, v := w.job, w.job.Vacuum
	r := &snapRow{RPM: text.Round(v.Cruise), From: text.Round(v.AtCruise / vacuum.InchOfMercury)}
	in, err := mapping.SnapOpen(d, sys, v.Cruise, v.AtCruise)
	if errors.Is(err, valid.ErrRange) {
		r.Why = "no ordinary throttle gives that vacuum at that speed; read the gauge again"
		return r, nil
	}
	if err != nil {
		return nil, fmt.Errorf("job: snapped throttle: %w", err)
	}
	limit, err := w.limits(ctx, v.Cruise, j.Condition.Ambient-v.AtCruise)
	if err != nil {
		return nil, err
	}
	in.Requirements = func(_, pressure float64) (mapping.Requirement, error) { return limit(pressure), nil }
	in.Margin = j.Wish.KnockMargin
	c, err := mapping.TipInTransient(ctx, in)
	if err != nil {
		return nil, fmt.Errorf("job: snapped throttle: %w", err)
	}
	r.Told, r.Filled, r.Back = true, text.Round(c.Filled), text.Round(c.Back)
	var over, time float64
	for i, x := range c.Instants {
		if !x.Requirement.KnockLimited {
			continue
		}
		// What the weights and the static timing do alone is judged at full load.
		beyond := math.Min(x.Spark-x.Requirement.KLSA+in.Margin, x.Pulled)
		if beyond > over {
			over = beyond
		}
		if beyond > heardFrom && i > 0 {
			time += x.Time - c.Instants[i-1].Time
		}
	}
	if over > heardFrom {
		r.Beyond, r.For = text.Round(over), text.Round(time)
		r.Firings = math.Ceil(time * v.Cruise / 60 / float64(j.Drive))
	}
	return r, nil
}

// heardFrom is how far past the limit with its margin the spark must go to be worth a
// word, crank degrees: what a light can tell.
const heardFrom = 1.0

// limits asks the engine at a few inlet pressures from that of cruise to the air's, and
// returns what lies between.
func (w *work) limits(ctx context.Context, rpm, from float64) (func(pressure float64) mapping.Requirement, error) {
	points := make([]knock.Condition, inletSteps)
	list := make([]mapping.Requirement, inletSteps)
	step := (w.job.Condition.Ambient - from) / (inletSteps - 1)
	for i := range points {
		points[i] = w.job.Condition
		points[i].RPM, points[i].InletPressure = rpm, from+float64(i)*step
	}
	if err := w.wants.all(ctx, points); err != nil {
		return nil, err
	}
	for i := range list {
		want, err := w.wants.at(points[i])
		if err != nil {
			return nil, fmt.Errorf("job: snapped throttle: %w", err)
		}
		list[i] = mapping.Requirement{MBT: want.MBT, KnockLimited: want.KnockLimited, KLSA: want.KLSA}
	}
	return func(pressure float64) mapping.Requirement {
		at := math.Min(math.Max((pressure-from)/step, 0), inletSteps-1)
		i := min(int(at), inletSteps-2)
		a, b, part := list[i], list[i+1], at-float64(i)
		return mapping.Requirement{
			MBT: a.MBT + part*(b.MBT-a.MBT), KLSA: a.KLSA + part*(b.KLSA-a.KLSA),
			KnockLimited: a.KnockLimited || b.KnockLimited,
		}
	}, nil
}

// text is what the report says of the snapped throttle.
func (r *snapRow) text(margin float64) string {
	begin := fmt.Sprintf("Throttle snapped open at %.0f rpm from %.1f inHg", r.RPM, r.From)
	if !r.Told {
		return begin + " is not judged: " + r.Why + "."
	}
	begin += fmt.Sprintf(", throttle and hose of ordinary size: the manifold fills in %.2f s, the unit is back in %.2f s.", r.Filled, r.Back)
	if r.Beyond == 0 {
		return begin + fmt.Sprintf(" The unit keeps the spark %.1f deg below the knock limit on the way.", margin)
	}
	return begin + fmt.Sprintf(" MAY KNOCK UNTIL THEN: the unit alone carries the spark up to %.1f deg past the knock limit less the margin of %.1f deg, for %.2f s or some %.0f firings of each cylinder. Open the throttle gently, use a short hose without a restriction, or limit the unit further.",
		r.Beyond, margin, r.For, r.Firings)
}
