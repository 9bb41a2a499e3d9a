package flyweights

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/valid"
)

// wild is a number of any size and sign, often an edge of floating point.
func wild(rnd *rand.Rand) float64 {
	edges := []float64{0, math.Copysign(0, -1), math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64, 1e-300, 1e300}
	if rnd.IntN(12) == 0 {
		return edges[rnd.IntN(len(edges))]
	}
	return (2*rnd.Float64() - 1) * math.Pow(10, float64(rnd.IntN(24)-18))
}

func wildVec(rnd *rand.Rand) r2.Vec { return r2.Vec{X: wild(rnd), Y: wild(rnd)} }

func wildLinkage(rnd *rand.Rand) Linkage {
	switch rnd.IntN(7) {
	case 0:
		return Ratio{K: wild(rnd)}
	case 1:
		return PinInSlot{wildVec(rnd), wildVec(rnd), rnd.IntN(2) == 0, wild(rnd)}
	case 2:
		return linkages.FourBar{Pivot: wildVec(rnd), Joint: wildVec(rnd), CamJoint: wildVec(rnd), Clockwise: rnd.IntN(2) == 0}
	case 3:
		return linkages.SliderCrank{Rest: wild(rnd), Slide: wild(rnd), Crank: wild(rnd), Rod: wild(rnd)}
	case 4:
		return linkages.RollingCams{Centres: wild(rnd), Radius: wild(rnd), Growth: wild(rnd)}
	case 5:
		return linkages.Follower{Pivot: wildVec(rnd), Roller: wildVec(rnd), Clockwise: rnd.IntN(2) == 0, Slope: wild(rnd), Bend: wild(rnd)}
	}
	return nil
}

// Whatever a caller passes is refused in words or answered with numbers: nothing
// panics, and no NaN or Inf comes out of a mechanism that passes its check.
func TestHostileMechanisms(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 32))
	answered := 0
	for range 6000 {
		m := &Mechanism{Linkage: wildLinkage(rnd), CamClockwise: rnd.IntN(2) == 0, Stop: wild(rnd), Drag: wild(rnd),
			Friction: Friction{wild(rnd), wild(rnd)}}
		if rnd.IntN(3) > 0 { // else nearly nothing gets beyond the first field
			m.Stop, m.Drag, m.Friction = rnd.Float64(), math.Abs(wild(rnd)), Friction{0, rnd.Float64()}
			m.Linkage = Ratio{K: 5 * rnd.Float64()}
		}
		for range 1 + rnd.IntN(2) {
			m.Weights = append(m.Weights, Weight{Mass: math.Abs(wild(rnd)), Pivot: wildVec(rnd), Centre: wildVec(rnd), Inertia: math.Abs(wild(rnd)), Clockwise: rnd.IntN(2) == 0})
		}
		for range rnd.IntN(3) {
			m.Springs = append(m.Springs, Spring{
				Law: springs.Spring{Rate: math.Abs(wild(rnd)), FreeLength: math.Abs(wild(rnd)), InitialTension: math.Abs(wild(rnd)), Slack: math.Abs(wild(rnd))},
				A:   Anchor{Body(rnd.IntN(5) - 1), wildVec(rnd)}, B: Anchor{Body(rnd.IntN(5) - 1), wildVec(rnd)},
			})
		}
		phi := wild(rnd)
		for i := range 3 {
			_ = m.WeightMoment(i-1, phi)
			_ = m.SpringMoment(i-1, phi)
			_ = m.SpringLength(i-1, phi)
		}
		if u, err := m.SpeedSquared(phi); err == nil && !valid.Finite(u) || err != nil && !errors.Is(err, ErrRange) {
			t.Fatalf("speed squared %g, error %v of %+v", u, err, m)
		}
		if err := m.Check(); err != nil {
			if !errors.Is(err, ErrRange) {
				t.Fatalf("check: %v", err)
			}
			continue
		}
		c, err := m.Curve(nil)
		if err != nil {
			t.Fatalf("passes its check and has no curve: %v", err)
		}
		answered++
		for _, dir := range []Direction{Rising, Falling} {
			for _, omega := range []float64{0, 1, c.Start(dir), c.AllIn(dir), 1e9, math.MaxFloat64} {
				if theta := c.Theta(omega, dir); !(theta >= -1e-12 && theta <= c.Travel()*(1+1e-12)) {
					t.Fatalf("theta %g of travel %g at %g rad/s %s of %+v", theta, c.Travel(), omega, dir, m)
				}
				if !valid.Finite(c.slope(omega, dir), c.Phi(omega, dir)) {
					t.Fatalf("slope %g at %g rad/s %s of %+v", c.slope(omega, dir), omega, dir, m)
				}
			}
			for _, e := range c.Events(dir) {
				if !valid.Finite(e.Phi, e.Theta, e.Omega, e.ToPhi, e.ToTheta, e.ToOmega) {
					t.Fatalf("event %+v of %+v", e, m)
				}
			}
		}
	}
	t.Logf("%d of 6000 answered", answered)
	if answered < 200 {
		t.Errorf("only %d mechanisms were answered", answered)
	}
}
