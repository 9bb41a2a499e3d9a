package coverage

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// Engine is a simulated distributor on an engine: the truth that a timing light
// sees.
type Engine struct {
	Static       float64 // crank degrees
	Start, AllIn float64 // rpm
	Travel       float64 // crank degrees
	curve        *flyweights.Curve
	mechanism    *flyweights.Mechanism
}

// Advance returns the true advance at an engine speed, crank degrees.
func (e *Engine) Advance(rpm float64) float64 {
	drive := advance.FourStroke
	return e.Static + drive.CrankDegrees(e.curve.Theta(drive.Omega(rpm), flyweights.Rising))
}

// between draws evenly from lo to hi.
func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// Draw makes an engine at random: two equal weights half a turn apart with
// pivots, centres of mass, pins, posts and hooks scattered about a plausible
// layout, two springs of one or two strengths, the second with or without a long
// loop and initial tension. Layouts that cannot work, snap, or leave the range of
// road engines (start 350 to 1,600 rpm, all-in 1,400 to 4,600 rpm, travel 12 to
// 36 crank degrees) are drawn again.
func Draw(rng *rand.Rand) *Engine {
	for {
		m := mechanism(rng)
		curve, err := m.Curve(nil)
		if err != nil || !smooth(curve) {
			continue
		}
		drive := advance.FourStroke
		e := &Engine{
			Static: between(rng, 0, 18),
			Start:  drive.RPM(curve.Start(flyweights.Rising)),
			AllIn:  drive.RPM(curve.AllIn(flyweights.Rising)),
			Travel: drive.CrankDegrees(curve.Travel()),
			curve:  curve, mechanism: m,
		}
		if e.Start > 350 && e.Start < 1600 && e.AllIn > 1400 && e.AllIn < 4600 &&
			e.AllIn > e.Start+500 && e.Travel > 12 && e.Travel < 36 {
			return e
		}
	}
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
		Centre: near(0.008, -0.016, 0.005),
	}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := near(-0.012, -0.003, 0.004), near(0, -0.018, 0.004)
	length := r2.Norm(r2.Sub(post, hook))
	law := springs.Spring{
		Rate:           math.Exp(between(rng, math.Log(400), math.Log(6000))),
		FreeLength:     length * between(rng, 0.85, 1),
		InitialTension: between(rng, 0, 1.5),
	}
	second := law
	if rng.IntN(2) == 0 {
		second.Rate *= between(rng, 1, 4)
		second.Slack = between(rng, 0, 0.002)
		second.InitialTension *= between(rng, 0, 0.5)
	}
	m := &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{Law: law, A: flyweights.Anchor{Body: flyweights.Plate, Point: post}, B: flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook}},
			{Law: second, A: flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)}, B: flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)}},
		},
		Stop: between(rng, 0.08, 0.3),
	}
	if rng.IntN(2) == 0 {
		m.Linkage = flyweights.PinInSlot{Pivot: weight.Pivot, Pin: near(-0.004, -0.008, 0.003)}
	} else {
		m.Linkage = flyweights.Ratio{K: between(rng, 0.6, 2)}
	}
	return m
}

// Errors of the simulated builders, who in the mean square are as good as
// [readings.Settings] says; each has a factor of his own on both errors, spread
// by skill (natural logarithm).
const (
	sigmaRPM     = 25
	sigmaDegrees = 1
	skill        = 0.2
	outliers     = 0.03
)

// Sample is a set of readings and the places of the outliers in it.
type Sample struct {
	Readings []readings.Reading
	Outliers []int
}

// Sample takes n readings, 0 for 6 to 15, from an idle of 500 to 1,000 rpm up to 2,600 to
// 5,000 rpm. The speed held wanders, the tachometer is read to 10 rpm with a
// standard error of 25 rpm, the light to half a degree with one of 1 degree, and
// three readings in a hundred are off by another 8 to 20 degrees.
func (e *Engine) Sample(rng *rand.Rand, n int) Sample {
	if some := 6 + rng.IntN(10); n == 0 {
		n = some
	}
	factor := math.Exp(skill*rng.NormFloat64() - skill*skill) // mean square 1
	low, high := between(rng, 500, 1000), between(rng, 2600, 5000)
	var s Sample
	for k := range n {
		step := (high - low) / float64(n-1)
		rpm := low + step*float64(k)
		if k > 0 {
			rpm += step * between(rng, -0.25, 0.25)
		}
		deg := e.Advance(rpm) + factor*sigmaDegrees*rng.NormFloat64()
		if rng.Float64() < outliers {
			off := between(rng, 8, 20)
			if rng.IntN(2) == 0 {
				off = -off
			}
			deg += off
			s.Outliers = append(s.Outliers, k)
		}
		s.Readings = append(s.Readings, readings.Reading{
			RPM:     10 * math.Round((rpm+factor*sigmaRPM*rng.NormFloat64())/10),
			Degrees: math.Round(2*deg) / 2,
		})
	}
	return s
}

// span returns the least and the greatest speed read.
func (s Sample) span() (low, high float64) {
	low, high = math.Inf(1), 0
	for _, r := range s.Readings {
		low, high = math.Min(low, r.RPM), math.Max(high, r.RPM)
	}
	return low, high
}

// Parts returns the mechanism as a builder measures it: every spring's rate, free
// length and the stop with the errors that the zero [readings.Parts] states.
func (e *Engine) Parts(rng *rand.Rand) readings.Parts {
	m := *e.mechanism
	m.Springs = slices.Clone(m.Springs)
	for i := range m.Springs {
		law := &m.Springs[i].Law
		law.Rate *= math.Exp(0.05 * rng.NormFloat64())
		law.FreeLength += 0.0003 * rng.NormFloat64()
	}
	m.Stop *= math.Exp(0.05 * rng.NormFloat64())
	return readings.Parts{Mechanism: &m}
}
