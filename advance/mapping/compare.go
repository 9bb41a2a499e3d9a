package mapping

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
)

// Requirement is what the engine wants and tolerates at one engine speed and manifold
// pressure, from a model, a table or a dynamometer.
type Requirement struct {
	MBT          float64 // crank degrees BTDC of best torque
	KnockLimited bool    // whether knock limits the spark here
	KLSA         float64 // knock-limited spark advance: crank degrees BTDC at which knock begins, if KnockLimited
}

// requirementAt asks for a requirement and refuses an answer that is no angle.
func requirementAt(engine func(rpm, pressure float64) (Requirement, error), rpm, pressure float64) (Requirement, error) {
	b, err := engine(rpm, pressure)
	if err != nil {
		return Requirement{}, fmt.Errorf("mapping: requirement at %.0f rpm crank, %.0f Pa: %w", rpm, pressure, err)
	}
	return b, check(within("MBT", b.MBT, "deg crank", -90, 180), within("knock limit", b.KLSA, "deg crank", -180, 180))
}

// Place is a point of a map and what was found there.
type Place struct {
	RPM, Pressure float64
	Total         float64 // crank degrees BTDC, the larger of rising and falling
	Requirement   Requirement
}

// Comparison is a map against the engine's requirement.
type Comparison struct {
	Margin      Place   // where the spark comes nearest to the knock limit, or passes it furthest
	Degrees     float64 // crank degrees of margin there; negative = beyond the limit
	AnyLimited  bool    // whether knock limits the spark anywhere on the map
	Beyond      int     // points of the map beyond the limit less the margin asked for
	Early, Late Place   // where the total is furthest ahead of and behind best torque
	Ahead       float64 // crank degrees at Early, 0 or more
	Behind      float64 // crank degrees at Late, 0 or more
	Points      int
}

// Compare sets a map against what the engine wants and tolerates at every point,
// asking for a margin in crank degrees (0 to 30) below the knock limit. Rising and
// falling sweeps are both looked at: friction may hold the spark early on the way
// down. Engine returns the requirement at an engine speed (rpm) and a manifold pressure
// (Pa); it is called once per point, in order, and may report progress. Cancelling ctx
// ends the work with its error.
func (m *Map) Compare(ctx context.Context, engine func(rpm, pressure float64) (Requirement, error), margin float64) (*Comparison, error) {
	if ctx == nil {
		return nil, missing("context")
	}
	if err := m.check(); err != nil {
		return nil, err
	}
	if engine == nil {
		return nil, missing("requirement of the engine")
	}
	if err := check(within("knock margin", margin, "deg crank", 0, 30)); err != nil {
		return nil, err
	}
	c := &Comparison{Degrees: math.Inf(1)}
	for i, n := range m.RPM {
		for j, p := range m.Pressure {
			k := i*len(m.Pressure) + j
			late, early := m.Rising[k], m.Falling[k]
			if late > early {
				late, early = early, late
			}
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			b, err := requirementAt(engine, n, p)
			if err != nil {
				return nil, err
			}
			c.Points++
			here := Place{n, p, early, b}
			if d := early - b.MBT; d > c.Ahead {
				c.Ahead, c.Early = d, here
			}
			if d := b.MBT - late; d > c.Behind {
				here.Total = late
				c.Behind, c.Late = d, here
				here.Total = early
			}
			if !b.KnockLimited {
				continue
			}
			c.AnyLimited = true
			if b.KLSA-early < margin {
				c.Beyond++
			}
			if d := b.KLSA - early; d < c.Degrees {
				c.Degrees, c.Margin = d, here
			}
		}
	}
	if !c.AnyLimited {
		c.Degrees = 0
	}
	return c, nil
}

// Cruise is one point of steady driving seen against the requirement.
type Cruise struct {
	Place
	Rising, Falling float64 // crank degrees
	Deficit         float64 // crank degrees that the total stays behind MBT; negative = ahead
	Margin          float64 // crank degrees to the knock limit, 0 if none; negative = beyond
	Verdict         string
}

// flat is how far off best torque the spark may be before it is worth a word:
// torque is flat there (about 0.5 per cent at 4 degrees; common practice, no
// source).
const flat = 4.0

// CruiseAt compares the total at one engine speed and manifold pressure of the
// map's nearest point with the requirement there: what to change, if anything, in a sentence.
func (m *Map) CruiseAt(rpm, pressure float64, engine func(rpm, pressure float64) (Requirement, error), margin float64) (*Cruise, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if engine == nil {
		return nil, missing("requirement of the engine")
	}
	last := func(xs []float64) float64 { return xs[len(xs)-1] }
	err := check(
		within("cruise speed", rpm, "rpm crank", m.RPM[0], last(m.RPM)),
		within("cruise pressure", pressure, "Pa", m.Pressure[0], last(m.Pressure)),
		within("knock margin", margin, "deg crank", 0, 30),
	)
	if err != nil {
		return nil, err
	}
	i, j := nearest(m.RPM, rpm), nearest(m.Pressure, pressure)
	up, err := m.at(i, j, flyweights.Rising)
	if err != nil {
		return nil, err
	}
	down, err := m.at(i, j, flyweights.Falling)
	if err != nil {
		return nil, err
	}
	b, err := requirementAt(engine, m.RPM[i], m.Pressure[j])
	if err != nil {
		return nil, err
	}
	early := math.Max(up, down)
	c := &Cruise{
		Place:  Place{m.RPM[i], m.Pressure[j], early, b},
		Rising: up, Falling: down,
		Deficit: b.MBT - (up+down)/2,
	}
	if b.KnockLimited {
		c.Margin = b.KLSA - early
	}
	switch {
	case b.KnockLimited && c.Margin < margin:
		c.Verdict = fmt.Sprintf("take off %.1f deg: knock is expected from %.1f deg, the total is %.1f deg and %.1f deg of margin are wanted", margin-c.Margin, b.KLSA, early, margin)
	case c.Deficit > flat:
		c.Verdict = fmt.Sprintf("%.1f deg behind best torque at %.1f deg: more vacuum advance would save fuel", c.Deficit, b.MBT)
	case c.Deficit < -flat:
		c.Verdict = fmt.Sprintf("%.1f deg ahead of best torque at %.1f deg: less vacuum advance loses nothing", -c.Deficit, b.MBT)
	default:
		c.Verdict = fmt.Sprintf("within the flat top of best torque at %.1f deg", b.MBT)
	}
	return c, nil
}

func nearest(xs []float64, x float64) int {
	best := 0
	for i := range xs {
		if math.Abs(xs[i]-x) < math.Abs(xs[best]-x) {
			best = i
		}
	}
	return best
}
