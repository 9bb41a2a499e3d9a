// Package random makes mechanisms with no symmetry and nothing at a nice value,
// for the tests of flyweights and of what stands on it.
package random

import (
	"errors"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// Kind is a kind of linkage and how a random one of it is made.
type Kind struct {
	Name string
	New  func(*rand.Rand) flyweights.Linkage
}

// Kinds holds every kind of linkage.
var Kinds = []Kind{
	{"ratio", func(rnd *rand.Rand) flyweights.Linkage { return flyweights.Ratio{K: 0.5 + 2*rnd.Float64()} }},
	{"radial slot", func(rnd *rand.Rand) flyweights.Linkage {
		return flyweights.PinInSlot{Pivot: Point(rnd, 0.015, 0.03), Pin: Point(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0}
	}},
	{"offset slot", func(rnd *rand.Rand) flyweights.Linkage {
		return flyweights.PinInSlot{
			Pivot: Point(rnd, 0.015, 0.03), Pin: Point(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0,
			Offset: 0.005 * (2*rnd.Float64() - 1),
		}
	}},
	{"four-bar", func(rnd *rand.Rand) flyweights.Linkage {
		return linkages.FourBar{Pivot: Point(rnd, 0.015, 0.03), Joint: Point(rnd, 0.015, 0.025), CamJoint: Point(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0}
	}},
	{"slider-crank", func(rnd *rand.Rand) flyweights.Linkage {
		return linkages.SliderCrank{Rest: 0.012 + 0.005*rnd.Float64(), Slide: 0.002 + 0.004*rnd.Float64(), Crank: 0.006 + 0.004*rnd.Float64(), Rod: 0.009 + 0.006*rnd.Float64()}
	}},
	{"rolling cams", func(rnd *rand.Rand) flyweights.Linkage {
		return linkages.RollingCams{Centres: 0.02 + 0.01*rnd.Float64(), Radius: 0.008 + 0.008*rnd.Float64(), Growth: 0.01 * (2*rnd.Float64() - 1)}
	}},
	{"follower", func(rnd *rand.Rand) flyweights.Linkage {
		return flank.Follower{
			Pivot: Point(rnd, 0.015, 0.03), Roller: Point(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0,
			Slope: 50 * (2*rnd.Float64() - 1), Bend: 3000 * (2*rnd.Float64() - 1),
		}
	}},
	{"tabulated", func(rnd *rand.Rand) flyweights.Linkage {
		phi, theta := []float64{0}, []float64{0}
		for i := range 6 {
			phi = append(phi, phi[i]+0.05+0.05*rnd.Float64())
			theta = append(theta, theta[i]+0.05+0.1*rnd.Float64())
		}
		l, err := linkages.NewTabulated(phi, theta)
		if err != nil {
			return flyweights.Ratio{} // refused by every check; both columns rise, so it does not come to it
		}
		return l
	}},
}

// Point returns a random point at a radius between lo and hi m.
func Point(rnd *rand.Rand, lo, hi float64) r2.Vec {
	sin, cos := math.Sincos(2 * math.Pi * rnd.Float64())
	return r2.Scale(lo+(hi-lo)*rnd.Float64(), r2.Vec{X: cos, Y: sin})
}

// ends are the pairs of bodies that the springs of a random mechanism join.
var ends = [5][2]flyweights.Body{
	{flyweights.Plate, flyweights.OnWeight(0)}, {flyweights.OnWeight(1), flyweights.Cam}, {flyweights.Plate, flyweights.Cam},
	{flyweights.OnWeight(0), flyweights.OnWeight(1)}, {flyweights.Plate, flyweights.OnWeight(2)},
}

// Mechanism returns two unequal swinging weights and a slider, springs between all
// kinds of bodies with preload, and a linkage of the kind. It tries until the
// mechanism passes its check and its springs press it to rest.
func Mechanism(rnd *rand.Rand, kind Kind) (*flyweights.Mechanism, error) {
	for range 20000 {
		m := draw(rnd, kind.New(rnd))
		if m.Check() != nil {
			continue
		}
		if u, err := m.SpeedSquared(0); err == nil && u > 0 {
			return m, nil
		}
	}
	return nil, errors.New("random: no valid mechanism with linkage " + kind.Name)
}

func draw(rnd *rand.Rand, link flyweights.Linkage) *flyweights.Mechanism {
	m := &flyweights.Mechanism{
		Linkage: link, CamClockwise: rnd.IntN(2) == 0,
		Stop: 0.1 + 0.3*rnd.Float64(), Drag: 0.02 * rnd.Float64(),
	}
	for range 2 {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: 0.01 + 0.05*rnd.Float64(), Pivot: Point(rnd, 0.015, 0.03), Centre: Point(rnd, 0.005, 0.03),
			Inertia: 1e-6 * rnd.Float64(), Clockwise: rnd.IntN(2) == 0,
		})
	}
	out := Point(rnd, 0.01, 0.02)
	m.Weights = append(m.Weights, flyweights.Weight{Mass: 0.02, Centre: out, Slide: r2.Add(out, Point(rnd, 0.001, 0.005))})
	fit(m)
	for _, between := range ends {
		s := flyweights.Spring{
			A: flyweights.Anchor{Body: between[0], Point: Point(rnd, 0.005, 0.03)},
			B: flyweights.Anchor{Body: between[1], Point: Point(rnd, 0.005, 0.03)},
		}
		length := r2.Norm(r2.Sub(s.A.Point, s.B.Point))
		if length < 0.008 {
			s.B.Point = r2.Add(s.B.Point, r2.Vec{X: 0.03})
			length = r2.Norm(r2.Sub(s.A.Point, s.B.Point))
		}
		s.Law = springs.Spring{Rate: 200 + 3000*rnd.Float64(), FreeLength: length * (0.7 + 0.28*rnd.Float64()), InitialTension: 3 * rnd.Float64()}
		m.Springs = append(m.Springs, s)
	}
	return m
}

// fit gives the first weight, or the slider, and the cam what the linkage says of
// them.
func fit(m *flyweights.Mechanism) {
	w, slider := &m.Weights[0], &m.Weights[2]
	switch l := m.Linkage.(type) {
	case flyweights.PinInSlot:
		w.Pivot, w.Clockwise, m.CamClockwise = l.Pivot, l.Clockwise, l.TurnsClockwise()
	case linkages.FourBar:
		w.Pivot, w.Clockwise, m.CamClockwise = l.Pivot, l.Clockwise, l.TurnsClockwise()
	case flank.Follower:
		w.Pivot, w.Clockwise, m.CamClockwise = l.Pivot, l.Clockwise, l.TurnsClockwise()
	case linkages.SliderCrank:
		slider.Slide = r2.Scale(l.Slide, r2.Unit(slider.Slide))
	case linkages.RollingCams:
		w.Pivot, m.CamClockwise = r2.Scale(l.Centres, r2.Unit(w.Pivot)), !w.Clockwise
	}
}
