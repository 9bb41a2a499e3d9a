package job

import (
	"fmt"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// vacuumPart advises on the hose for a recipe. It is nil for a distributor
// without a unit.
func (j *Job) vacuumPart(chosen *choice, a *requirement) (*VacuumPart, error) {
	v, best := j.Vacuum, chosen.best
	if v == nil {
		return nil, nil
	}
	cruise, err := best.At(v.Cruise, flyweights.Rising)
	if err != nil {
		return nil, fmt.Errorf("job: cruise: %w", err)
	}
	wanted := v.Wanted
	part := &VacuumPart{}
	if wanted == 0 {
		// What the engine wants at part load: best torque at the cruise speed and
		// inlet pressure, less what the knock limit there forbids.
		c := j.Condition
		c.RPM, c.InletPressure = v.Cruise, c.Ambient-v.AtCruise
		want, err := a.model.SparkRequirement(c)
		if err != nil {
			return nil, fmt.Errorf("%w: vacuum.cruise_vacuum: %w", ErrJob, err)
		}
		wanted = want.MBT
		if want.KnockLimited {
			wanted = min(wanted, want.KLSA-j.Wish.KnockMargin)
		}
		part.Advice = append(part.Advice, fmt.Sprintf("At cruise, %.0f rpm and %.1f inHg, best torque is computed at %.1f deg (band %.1f to %.1f).",
			v.Cruise, v.AtCruise/vacuum.InchOfMercury, want.MBT, want.MBTLow, want.MBTHigh))
	}
	advice, err := mapping.Advise(mapping.Situation{
		Unit: v.Unit, Drive: j.Drive, IdleVacuum: v.AtIdle, CruiseVacuum: v.AtCruise,
		Static: best.Static, MechanicalIdle: best.Idle.Low - best.Static,
		MechanicalCruise: cruise - best.Static, WantedCruise: wanted,
	})
	if err != nil {
		return nil, fmt.Errorf("%w: vacuum: %w", ErrJob, err)
	}
	if err := chosen.widen(j, &advice.Idle, j.Idle); err != nil {
		return nil, err
	}
	if err := chosen.widen(j, &advice.Cruise, v.Cruise); err != nil {
		return nil, err
	}
	part.Onset = sheet.Round(advice.Unit.Onset() / vacuum.InchOfMercury)
	part.Full = sheet.Round(advice.Unit.Full() / vacuum.InchOfMercury)
	part.Most = sheet.Round(advice.Degrees)
	part.Source = advice.Source.String()
	part.Idle, part.Cruise = sheet.Round(advice.Idle.Degrees), sheet.Round(advice.Cruise.Degrees)
	part.Advice = append(part.Advice, advice.Sentences()...)
	return part, nil
}

// widen lays the sheet's own window at that speed, hose off, round what the unit
// adds, in place of the degree that the advice allows for the light: a build that
// passes with the hose off passes with it on.
func (c *choice) widen(j *Job, w *mapping.Window, rpm float64) error {
	rising, _, low, high, err := c.window(j, rpm)
	if err != nil {
		return err
	}
	w.Low += mapping.LightError - (rising - low)
	w.High += high - rising - mapping.LightError
	// Rounded as the sheet is, so that the two print the same digit.
	w.Degrees, w.Low, w.High = sheet.Round(w.Degrees), sheet.Round(w.Low), sheet.Round(w.High)
	return nil
}
