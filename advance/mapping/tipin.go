package mapping

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// TipIn is a throttle opened in driving, with the hose on.
type TipIn struct {
	Distributor  *advance.Distributor                             // with its vacuum unit
	System       *vacuum.System                                   // engine, throttle, air, source and hose; its Unit is replaced by the distributor's
	Inputs       []vacuum.Input                                   // what throttle and speed do; the first point is steady
	Requirements func(rpm, pressure float64) (Requirement, error) // what the engine tolerates at an engine speed and a manifold pressure in Pa; nil leaves knock out
	Margin       float64                                          // crank degrees wanted below the knock limit, 0 to 30
	Settings     *vacuum.RunSettings                              // of the air's run; nil = defaults
}

// Instant is the spark at one time.
type Instant struct {
	Time        float64     // s
	RPM         float64     // engine rpm
	Pressure    float64     // Pa absolute in the manifold
	Spark       float64     // crank degrees BTDC
	Pulled      float64     // crank degrees of it from the vacuum unit
	Requirement Requirement // zero without Requirements
}

// Transient is the answer of [TipInTransient].
type Transient struct {
	Instants []Instant
	Filled   float64 // s from the first movement of the throttle until the manifold has made nine tenths of its way
	Back     float64 // s from the same until the vacuum unit is within a crank degree of where it ends
	Worst    float64 // crank degrees by which the spark passes the knock limit less the margin at its worst; 0 or less = never
	At       Instant // where that is
	Over     float64 // s, the time that the spark spends beyond
	Cycles   float64 // ignition cycles of one cylinder in that time
	Verdict  string
}

// TipInTransient follows the spark while the throttle opens and the vacuum collapses: how
// fast the manifold fills, how fast the unit lets go through its hose, and
// whether the spark is back before the charge can knock.
//
// The flyweights follow the speed without delay, on their rising side while the
// speed rises and their falling side while it falls. Cancelling ctx ends the work
// with its error; Requirements is called once per sample, in order of time. Refused: a
// throttle that does not move, and whatever vacuum.System.Run refuses.
func TipInTransient(ctx context.Context, in TipIn) (*Transient, error) {
	if ctx == nil {
		return nil, missing("context")
	}
	if in.Distributor == nil || in.System == nil || in.Distributor.Vacuum == nil {
		return nil, fmt.Errorf("%w: tip-in has a distributor with a vacuum unit: %t, a system: %t, valid is both",
			errRange, in.Distributor != nil && in.Distributor.Vacuum != nil, in.System != nil)
	}
	if err := in.Distributor.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	if err := check(within("knock margin", in.Margin, "deg crank", 0, 30)); err != nil {
		return nil, err
	}
	sys := *in.System
	sys.Unit = *in.Distributor.Vacuum
	run, err := sys.Run(ctx, nil, in.Inputs, in.Settings)
	if err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	c := &Transient{Worst: math.Inf(-1)}
	for i, a := range run.Samples {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		dir := flyweights.Rising
		if i > 0 && a.RPM < run.Samples[i-1].RPM {
			dir = flyweights.Falling
		}
		if err := c.add(&in, a, dir); err != nil {
			return nil, err
		}
	}
	moved, ok := firstMove(in.Inputs)
	if !ok {
		return nil, fmt.Errorf("%w: the throttle moves at none of %d input points, valid is a movement", errRange, len(in.Inputs))
	}
	c.times(run.Samples, moved)
	c.judge(&in)
	return c, nil
}

// add works out one instant.
func (c *Transient) add(in *TipIn, a vacuum.Sample, dir flyweights.Direction) error {
	d := in.Distributor
	rpm := a.RPM
	now := Instant{Time: a.Time, RPM: rpm, Pressure: a.Manifold, Pulled: d.Drive.CrankDegrees(a.Theta)}
	now.Spark = d.Static + d.Mechanical(rpm, dir) + now.Pulled - advance.DelayDegrees(d.Delay, rpm)
	if in.Requirements != nil {
		var err error
		if now.Requirement, err = requirementAt(in.Requirements, rpm, a.Manifold); err != nil {
			return err
		}
		if over := now.Spark - now.Requirement.KLSA + in.Margin; now.Requirement.KnockLimited {
			if over > c.Worst {
				c.Worst, c.At = over, now
			}
			if n := len(c.Instants); over > 0 && n > 0 {
				dt := now.Time - c.Instants[n-1].Time
				c.Over += dt
				c.Cycles += dt * rpm / 60 / float64(d.Drive) // every cylinder fires once per distributor turn
			}
		}
	}
	c.Instants = append(c.Instants, now)
	return nil
}

// firstMove is the time at which the throttle begins to move.
func firstMove(inputs []vacuum.Input) (float64, bool) {
	for i := 1; i < len(inputs); i++ {
		if inputs[i].Throttle != inputs[i-1].Throttle {
			return inputs[i-1].Time, true
		}
	}
	return 0, false
}

// times measures manifold and unit from the first movement of the throttle: the
// last time that each is still further from its end than it may be.
func (c *Transient) times(a []vacuum.Sample, moved float64) {
	first, end := a[0].Manifold, a[len(a)-1].Manifold
	pulled := c.Instants[len(c.Instants)-1].Pulled
	for i := range a {
		if math.Abs(a[i].Manifold-end) > 0.1*math.Abs(first-end) {
			c.Filled = math.Max(0, a[i].Time-moved)
		}
		if math.Abs(c.Instants[i].Pulled-pulled) > 1 {
			c.Back = math.Max(0, a[i].Time-moved)
		}
	}
}

func (c *Transient) judge(in *TipIn) {
	lag := fmt.Sprintf("the manifold fills in %.2f s, the unit is back in %.2f s", c.Filled, c.Back)
	switch {
	case math.IsInf(c.Worst, -1):
		c.Worst = 0
		c.Verdict = lag + "; no knock limit to compare with"
	case c.Worst <= 0:
		c.Verdict = fmt.Sprintf("soon enough: %s, and the spark never comes nearer than %.1f deg to the knock limit", lag, in.Margin-c.Worst)
	default:
		c.Verdict = fmt.Sprintf("too late: %s, and the spark is up to %.1f deg beyond the limit with its margin for %.2f s, about %.0f cycles of a cylinder; a wider restriction or shorter hose lets go sooner, or less vacuum advance is called for", lag, c.Worst, c.Over, c.Cycles)
	}
}
