package trials

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// engine is a simulated distributor on an engine: the truth that a timing light
// sees.
type engine struct {
	Static       float64 // crank degrees
	Start, AllIn float64 // rpm, speed rising
	Travel       float64 // crank degrees
	TwoStage     bool    // the second spring is slack at rest and taken up on the way
	curve        *flyweights.Curve
	mechanism    *flyweights.Mechanism
}

const drive = advance.FourStroke

// advance returns the true advance at a rising engine speed, crank degrees.
func (e *engine) advance(rpm float64) float64 { return e.at(rpm, flyweights.Rising) }

func (e *engine) at(rpm float64, d flyweights.Direction) float64 {
	return e.Static + drive.CrankDegrees(e.curve.Theta(drive.Omega(rpm), d))
}

// between draws evenly from lo to hi.
func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// chance reports what happens once in so many times.
func chance(rng *rand.Rand, in int) bool { return rng.IntN(in) == 0 }

// draw makes an engine at random: two equal weights half a turn apart with
// pivots, centres of mass, pins, posts and hooks scattered about a plausible
// layout; cams that roll on each other, a pin on the weight in a radial slot of the
// cam, or a fixed ratio; a little drag and friction.
//
// Half the engines have one stage: both springs pull from rest. In the others the
// second spring has a long loop that is taken up between a tenth and nine tenths of
// the swing, half of these with initial tension that holds the advance there.
// Layouts that cannot work, snap, or leave the range of road engines (start 350 to
// 1,600 rpm, all-in 1,400 to 4,600 rpm, travel 12 to 36 crank degrees) are drawn
// again, up to a count that chance does not reach.
func draw(rng *rand.Rand) *engine {
	two, tension := chance(rng, 2), chance(rng, 2)
	for range 1_000_000 {
		m := mechanism(rng)
		m.Springs[1].Law = second(rng, m, two, tension)
		curve, err := m.Curve(nil)
		if err != nil || !smooth(curve) {
			continue
		}
		e := &engine{
			Static: between(rng, 0, 18),
			Start:  drive.RPM(curve.Start(flyweights.Rising)),
			AllIn:  drive.RPM(curve.AllIn(flyweights.Rising)),
			Travel: drive.CrankDegrees(curve.Travel()), TwoStage: two,
			curve: curve, mechanism: m,
		}
		if e.Start > 350 && e.Start < 1600 && e.AllIn > 1400 && e.AllIn < 4600 &&
			e.AllIn > e.Start+500 && e.Travel > 12 && e.Travel < 36 {
			return e
		}
	}
	return nil
}

// smooth reports whether a curve rises without a snap.
func smooth(c *flyweights.Curve) bool {
	for _, e := range c.Events(flyweights.Rising) {
		if e.Kind == flyweights.Snap {
			return false
		}
	}
	return true
}

func mechanism(rng *rand.Rand) *flyweights.Mechanism {
	near := func(x, y, by float64) r2.Vec {
		return r2.Vec{X: x + between(rng, -by, by), Y: y + between(rng, -by, by)}
	}
	weight := flyweights.Weight{
		Mass: between(rng, 0.015, 0.05), Pivot: r2.Vec{X: between(rng, 0.02, 0.03)},
		Centre: near(0.006, -0.016, 0.007),
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := near(-0.012, -0.003, 0.004), near(0, -0.018, 0.004)
	length := r2.Norm(r2.Sub(post, hook))
	law := springs.Spring{
		Rate:           math.Exp(between(rng, math.Log(400), math.Log(6000))),
		FreeLength:     length * between(rng, 0.8, 1),
		InitialTension: between(rng, 0, 1.5),
	}
	m := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{Law: law, A: flyweights.Anchor{Body: flyweights.Plate, Point: post}, B: flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook}},
			{Law: law, A: flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)}, B: flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)}},
		},
		Stop:     between(rng, 0.08, 0.5),
		Drag:     between(rng, 0, 0.002),
		Friction: flyweights.Friction{Moment: between(rng, 0, 0.001)},
	}
	switch rng.IntN(5) {
	case 0:
		m.Linkage = flyweights.Ratio{K: between(rng, 0.4, 2)}
	case 1, 2:
		centres := weight.Pivot.X
		m.Linkage = linkages.RollingCams{Centres: centres, Radius: centres * between(rng, 0.3, 0.6), Growth: centres * between(rng, -0.4, 0.4)}
		m.CamClockwise = true // wheels that roll on each other turn in opposite senses
	default:
		m.Linkage = flyweights.PinInSlot{Pivot: weight.Pivot, Pin: near(0, -0.010, 0.007)}
	}
	return m
}

// second is the second spring's law: the first's but for its rate, or one to six
// times as stiff with a long loop.
func second(rng *rand.Rand, m *flyweights.Mechanism, slack, tension bool) springs.Spring {
	law := m.Springs[0].Law
	law.Rate *= between(rng, 0.8, 1.25)
	if !slack {
		return law
	}
	law.Rate *= between(rng, 1, 6)
	law.InitialTension = 0
	if tension {
		law.InitialTension = between(rng, 0.3, 3)
	}
	at := m.SpringLength(1, m.Stop*between(rng, 0.1, 0.9))
	law.Slack = math.Max(at-law.FreeLength, 0)
	return law
}

// listed returns the mechanism's curve as a builder computes it: every spring's rate
// and free length and the stop are measured with errors of 5 %, 0.3 mm and 5 %. off is
// a factor on all rates: 1 where the list is right.
func (e *engine) listed(rng *rand.Rand, off float64) (*flyweights.Curve, error) {
	m := *e.mechanism
	m.Springs = slices.Clone(m.Springs)
	for i := range m.Springs {
		law := &m.Springs[i].Law
		law.Rate *= off * math.Exp(0.05*rng.NormFloat64())
		law.FreeLength += 0.0003 * rng.NormFloat64()
	}
	m.Stop *= math.Exp(0.05 * rng.NormFloat64())
	return m.Curve(nil)
}
