package flyweights

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/fuzzing"
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
		return flank.Follower{Pivot: wildVec(rnd), Roller: wildVec(rnd), Clockwise: rnd.IntN(2) == 0, Slope: wild(rnd), Bend: wild(rnd)}
	}
	return nil
}

// hostile draws a mechanism from anything and puts every question to it. Whatever
// a caller passes is refused in words or answered with numbers: nothing panics, no
// NaN or Inf comes out. It reports whether the mechanism passed its check.
func hostile(t *testing.T, rnd *rand.Rand) bool {
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
	return questions(t, m, wild(rnd), wild(rnd))
}

func TestHostileMechanisms(t *testing.T) {
	rnd := rand.New(rand.NewPCG(31, 32))
	answered := 0
	for range 6000 {
		if hostile(t, rnd) {
			answered++
		}
	}
	t.Logf("%d of 6000 answered", answered)
	if answered < 200 {
		t.Errorf("only %d mechanisms were answered", answered)
	}
}

// Any numbers in a mechanism that is valid but for them.
func FuzzMechanism(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(uint64(1), 0.03, 0.025, 1800.0, 0.0185, 0.1, 0.0, 100.0)
	f.Add(uint64(2), 1e300, -1e300, 1e-300, 5e-324, 3.0, 1e300, math.MaxFloat64)
	f.Add(uint64(1099511627787), math.NaN(), math.Inf(1), math.Inf(-1), 0.0, -1.0, math.NaN(), math.Inf(1)) // squared speeds beyond all slopes
	f.Add(uint64(3), math.NaN(), math.Inf(1), math.Inf(-1), 0.0, -1.0, math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, seed uint64, mass, place, rate, length, stop, friction, omega float64) {
		hostile(t, rand.New(rand.NewPCG(seed, 1)))
		m := simple(springs.Spring{Rate: rate, FreeLength: length, InitialTension: math.Abs(friction), Slack: length / 50})
		m.Weights[0].Mass, m.Weights[0].Centre.Y, m.Stop, m.Friction.Moment = mass, -place, stop, friction
		questions(t, m, stop/3, omega)
		l := Lumped{WeightMass: mass, PivotRadius: place, CentreDistance: length, CentreAngle: 1.6, SpringMomentRest: friction, SpringMomentStop: rate, Travel: stop, Ratio: 1.5, Friction: friction}
		if c, err := l.Curve(nil); err == nil {
			reads(t, l, c, omega)
		} else if !errors.Is(err, errRange) {
			t.Fatal(err)
		}
		s := Slot{Length: length, Pin: place, Radius: mass}
		travel, err := s.Travel()
		closing, errClosing := s.Closing(stop)
		if err == nil && !valid.Finite(travel) || errClosing == nil && !valid.Finite(closing) {
			t.Fatalf("%+v: travel %g, closing %g", s, travel, closing)
		}
		if phi, err := Swing(Ratio{K: rate}, stop); err == nil && !valid.Finite(phi) {
			t.Fatalf("swing %g", phi)
		}
		_ = EventKind(seed).String() + Direction(seed).String()
	})
}

// questions asks a mechanism everything at one swing and speed, and its curve if it
// has one.
func questions(t *testing.T, m *Mechanism, phi, omega float64) bool {
	t.Helper()
	for i := range 3 {
		if x := [...]float64{m.WeightMoment(i-1, phi), m.SpringMoment(i-1, phi), m.SpringLength(i-1, phi)}; !valid.Finite(x[:]...) {
			t.Fatalf("part %d at %g: %v of %+v", i, phi, x, m)
		}
	}
	st := m.State(phi, omega, nil)
	if x := []float64{st.Weights, st.DWeights, st.Restore, st.DRestore, st.Friction, st.DFriction, st.Theta, st.DTheta, st.Inertia, st.DInertia, st.Spin}; !valid.Finite(x...) {
		t.Fatalf("state at %g: %v of %+v", phi, x, m)
	}
	if u, err := m.SpeedSquared(phi); err == nil && !valid.Finite(u) || err != nil && !errors.Is(err, errRange) {
		t.Fatalf("speed squared %g, error %v of %+v", u, err, m)
	}
	if err := m.Check(); err != nil {
		if !errors.Is(err, errRange) {
			t.Fatalf("check: %v", err)
		}
		return false
	}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatalf("passes its check and has no curve: %v", err)
	}
	reads(t, m, c, omega)
	return true
}

// reads reads a curve of what at extreme speeds and at one more.
func reads(t *testing.T, what any, c *Curve, more float64) {
	t.Helper()
	for _, dir := range []Direction{Rising, Falling} {
		for _, omega := range []float64{0, 1, c.Start(dir), c.AllIn(dir), 1e9, math.MaxFloat64, math.Inf(1), math.NaN(), more} {
			if theta := c.Theta(omega, dir); !(theta >= -1e-12 && theta <= c.Travel()*(1+1e-12)) {
				t.Fatalf("theta %g of travel %g at %g rad/s %s of %+v", theta, c.Travel(), omega, dir, what)
			}
			if !valid.Finite(c.slope(omega, dir), c.Phi(omega, dir), c.Start(dir), c.AllIn(dir)) {
				t.Fatalf("slope %g at %g rad/s %s of %+v", c.slope(omega, dir), omega, dir, what)
			}
		}
		for _, e := range c.Events(dir) {
			if !valid.Finite(e.Phi, e.Theta, e.Omega, e.ToPhi, e.ToTheta, e.ToOmega) || e.Cause == "" {
				t.Fatalf("event %+v of %+v", e, what)
			}
		}
	}
}
