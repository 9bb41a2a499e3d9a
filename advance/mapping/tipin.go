package mapping

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// Snap is a throttle snapped open, with the hose on.
type Snap struct {
	Distributor *advance.Distributor // with its vacuum unit
	System      *vacuum.System       // engine, throttle, air, source and hose; its Unit is replaced by the distributor's
	Driver      []vacuum.Moment      // what throttle and speed do; the first moment is steady
	Bounds      Bounds               // what the engine tolerates; nil leaves knock out
	Margin      float64              // crank degrees wanted below the knock limit, 0 to 30
	Settings    *vacuum.Settings     // of the air's run; nil = defaults
}

// Instant is the spark at one time.
type Instant struct {
	Time     float64 // s
	RPM      float64 // engine rpm
	Pressure float64 // Pa absolute in the manifold
	Spark    float64 // crank degrees BTDC
	Pulled   float64 // crank degrees of it from the vacuum unit
	Bound    Bound   // zero without Bounds
}

// Collapse is the answer of [TipIn].
type Collapse struct {
	Instants []Instant
	Filled   float64 // s from the first movement of the throttle until the manifold has made nine tenths of its way
	Back     float64 // s from the same until the vacuum unit is within a crank degree of where it ends
	Worst    float64 // crank degrees by which the spark passes the knock limit less the margin at its worst; 0 or less = never
	At       Instant // where that is
	Over     float64 // s, the time that the spark spends beyond
	Cycles   float64 // ignition cycles of one cylinder in that time
	Verdict  string
}

// TipIn follows the spark while the throttle opens and the vacuum collapses: how
// fast the manifold fills, how fast the unit lets go through its hose, and
// whether the spark is back before the charge can knock.
//
// The flyweights follow the speed without delay, on their rising side while the
// speed rises and their falling side while it falls. Cancelling ctx ends the work
// with its error; Bounds is called once per sample, in order of time. Refused: a
// driver who does not move the throttle, and whatever vacuum.System.Run refuses.
func TipIn(ctx context.Context, in Snap) (*Collapse, error) {
	if in.Distributor == nil || in.System == nil || in.Distributor.Vacuum == nil {
		return nil, fmt.Errorf("%w: tip-in has a distributor with a vacuum unit: %t, a system: %t, valid is both",
			ErrRange, in.Distributor != nil && in.Distributor.Vacuum != nil, in.System != nil)
	}
	if err := in.Distributor.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	if err := check(span{"knock margin", in.Margin, "deg crank", 0, 30}); err != nil {
		return nil, err
	}
	sys := *in.System
	sys.Unit = *in.Distributor.Vacuum
	run, err := sys.Run(nil, in.Driver, in.Settings)
	if err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	c := &Collapse{Worst: math.Inf(-1)}
	for i, a := range run.Samples {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		dir := flyweights.Rising
		if i > 0 && a.Omega < run.Samples[i-1].Omega {
			dir = flyweights.Falling
		}
		if err := c.add(&in, a, dir); err != nil {
			return nil, err
		}
	}
	moved, ok := firstMove(in.Driver)
	if !ok {
		return nil, fmt.Errorf("%w: driver moves the throttle at none of %d moments, valid is a movement", ErrRange, len(in.Driver))
	}
	c.times(run.Samples, moved)
	c.judge(&in)
	return c, nil
}

// add works out one instant.
func (c *Collapse) add(in *Snap, a vacuum.Sample, dir flyweights.Direction) error {
	d := in.Distributor
	rpm := d.Drive.RPM(a.Omega)
	now := Instant{Time: a.Time, RPM: rpm, Pressure: a.Manifold, Pulled: d.Drive.CrankDegrees(a.Theta)}
	now.Spark = d.Static + d.Mechanical(rpm, dir) + now.Pulled - advance.DelayDegrees(d.Delay, rpm)
	if in.Bounds != nil {
		var err error
		if now.Bound, err = in.Bounds.at(rpm, a.Manifold); err != nil {
			return err
		}
		if over := now.Spark - now.Bound.Limit + in.Margin; now.Bound.Limited {
			if over > c.Worst {
				c.Worst, c.At = over, now
			}
			if n := len(c.Instants); over > 0 && n > 0 {
				dt := now.Time - c.Instants[n-1].Time
				c.Over += dt
				c.Cycles += dt * a.Omega / (2 * math.Pi) // every cylinder fires once per distributor turn
			}
		}
	}
	c.Instants = append(c.Instants, now)
	return nil
}

// firstMove is the time at which the throttle begins to move.
func firstMove(driver []vacuum.Moment) (float64, bool) {
	for i := 1; i < len(driver); i++ {
		if driver[i].Throttle != driver[i-1].Throttle {
			return driver[i-1].Time, true
		}
	}
	return 0, false
}

// times measures manifold and unit from the first movement of the throttle: the
// last time that each is still further from its end than it may be.
func (c *Collapse) times(a []vacuum.Sample, moved float64) {
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

func (c *Collapse) judge(in *Snap) {
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
