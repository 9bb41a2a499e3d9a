package mapping

import (
	"context"
	"fmt"
	"math"
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
