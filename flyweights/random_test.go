package flyweights

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

// within reports !(|got-want| <= tol), so that NaN fails.
func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g, difference %.3g above %.3g", what, got, want, got-want, tol)
	}
}

// scatter returns a random point at a radius between lo and hi m.
func scatter(rnd *rand.Rand, lo, hi float64) r2.Vec {
	sin, cos := math.Sincos(2 * math.Pi * rnd.Float64())
	return r2.Scale(lo+(hi-lo)*rnd.Float64(), r2.Vec{X: cos, Y: sin})
}

// randomMechanism returns a mechanism with no symmetry and nothing at a nice
// value: two unequal swinging weights and a slider, springs between all kinds of
// bodies with preload, and the linkage given. It retries until Check agrees.
func randomMechanism(t *testing.T, rnd *rand.Rand, link func(*rand.Rand) Linkage) *Mechanism {
	t.Helper()
	for range 20000 {
		m := &Mechanism{
			Linkage: link(rnd), CamClockwise: rnd.IntN(2) == 0,
			Stop: 0.1 + 0.3*rnd.Float64(), Drag: 0.02 * rnd.Float64(),
		}
		if l, ok := m.Linkage.(interface{ TurnsClockwise() bool }); ok {
			m.CamClockwise = l.TurnsClockwise()
		}
		for range 2 {
			m.Weights = append(m.Weights, Weight{
				Mass: 0.01 + 0.05*rnd.Float64(), Pivot: scatter(rnd, 0.015, 0.03), Centre: scatter(rnd, 0.005, 0.03),
				Inertia: 1e-6 * rnd.Float64(), Clockwise: rnd.IntN(2) == 0,
			})
		}
		out := scatter(rnd, 0.01, 0.02)
		m.Weights = append(m.Weights, Weight{Mass: 0.02, Centre: out, Slide: r2.Add(out, scatter(rnd, 0.001, 0.005))})
		for i := range 5 {
			ends := [5][2]Body{{Plate, OnWeight(0)}, {OnWeight(1), Cam}, {Plate, Cam}, {OnWeight(0), OnWeight(1)}, {Plate, OnWeight(2)}}[i]
			s := Spring{A: Anchor{ends[0], scatter(rnd, 0.005, 0.03)}, B: Anchor{ends[1], scatter(rnd, 0.005, 0.03)}}
			length := r2.Norm(r2.Sub(s.A.Point, s.B.Point))
			if length < 0.008 {
				s.B.Point = r2.Add(s.B.Point, r2.Vec{X: 0.03})
				length = r2.Norm(r2.Sub(s.A.Point, s.B.Point))
			}
			s.Law = springs.Spring{Rate: 200 + 3000*rnd.Float64(), FreeLength: length * (0.7 + 0.28*rnd.Float64()), InitialTension: 3 * rnd.Float64()}
			m.Springs = append(m.Springs, s)
		}
		if m.Check() == nil && m.springsHold() {
			return m
		}
	}
	t.Fatal("no valid random mechanism found")
	return nil
}

// everyLinkage makes one random linkage of every kind.
var everyLinkage = map[string]func(*rand.Rand) Linkage{
	"ratio": func(rnd *rand.Rand) Linkage { return Ratio{K: 0.5 + 2*rnd.Float64()} },
	"radial slot": func(rnd *rand.Rand) Linkage {
		return PinInSlot{Pivot: scatter(rnd, 0.015, 0.03), Pin: scatter(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0}
	},
	"offset slot": func(rnd *rand.Rand) Linkage {
		return PinInSlot{
			Pivot: scatter(rnd, 0.015, 0.03), Pin: scatter(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0,
			Offset: 0.005 * (2*rnd.Float64() - 1),
		}
	},
	"four-bar": func(rnd *rand.Rand) Linkage {
		return linkages.FourBar{Pivot: scatter(rnd, 0.015, 0.03), Joint: scatter(rnd, 0.015, 0.025), CamJoint: scatter(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0}
	},
	"radial": func(rnd *rand.Rand) Linkage {
		return linkages.SliderCrank{Rest: 0.012 + 0.005*rnd.Float64(), Slide: 0.002 + 0.004*rnd.Float64(), Crank: 0.006 + 0.004*rnd.Float64(), Rod: 0.009 + 0.006*rnd.Float64()}
	},
	"rolling": func(rnd *rand.Rand) Linkage {
		return linkages.RollingCams{Centres: 0.02 + 0.01*rnd.Float64(), Radius: 0.008 + 0.008*rnd.Float64(), Growth: 0.01 * (2*rnd.Float64() - 1)}
	},
	"follower": func(rnd *rand.Rand) Linkage {
		return linkages.Follower{
			Pivot: scatter(rnd, 0.015, 0.03), Roller: scatter(rnd, 0.006, 0.012), Clockwise: rnd.IntN(2) == 0,
			Slope: 50 * (2*rnd.Float64() - 1), Bend: 3000 * (2*rnd.Float64() - 1),
		}
	},
	"tabulated": func(rnd *rand.Rand) Linkage {
		phi, theta := []float64{0}, []float64{0}
		for i := range 6 {
			phi = append(phi, phi[i]+0.05+0.05*rnd.Float64())
			theta = append(theta, theta[i]+0.05+0.1*rnd.Float64())
		}
		l, err := linkages.NewTabulated(phi, theta)
		if err != nil {
			return Ratio{} // refused by every check; both columns rise, so it does not come to it
		}
		return l
	},
}

// springsHold reports whether the springs together press the weights to rest.
func (m *Mechanism) springsHold() bool {
	u, err := m.SpeedSquared(0)
	return err == nil && u > 0
}
