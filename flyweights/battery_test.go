package flyweights

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/flank"
	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/flyweights/linkages"
)

// Every linkage: 0 at rest, and both derivatives agree with central differences
// at random swings of random geometry.
func TestLinkageDerivatives(t *testing.T) {
	central := &fd.Settings{Formula: fd.Central, Step: 1e-5}
	for name, link := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(5, 6))
		for tried := 0; tried < 60; {
			l := link(rnd)
			if c, ok := l.(interface{ Check() error }); ok && c.Check() != nil {
				continue
			}
			lo, hi := l.Travel()
			theta, _, _ := l.Cam(0)
			within(t, name+" at rest", theta, 0, 1e-12)
			within(t, name+" travel from rest", lo, 0, 0)
			phi := math.Min(hi*0.9, 0.4) * (0.05 + 0.9*rnd.Float64())
			_, d1, d2 := l.Cam(phi)
			if math.Abs(d2) > 50 { // next to a dead point differences lose their digits
				continue
			}
			tried++
			angle := func(x float64) float64 { theta, _, _ := l.Cam(x); return theta }
			slope := func(x float64) float64 { _, d1, _ := l.Cam(x); return d1 }
			within(t, name+" d1", d1, fd.Derivative(angle, phi, central), 1e-6*(1+math.Abs(d2)))
			within(t, name+" d2", d2, fd.Derivative(slope, phi, central), 1e-4*(1+math.Abs(d2)))
		}
	}
}

// lever returns, by the forces in the contact and not by differentiation, the
// moment on the swing that a unit moment on the cam in its forward sense makes.
// ok is false for a linkage without geometry.
func lever(t *testing.T, l Linkage, phi float64) (moment float64, ok bool) {
	theta, d1, _ := l.Cam(phi)
	contact := func(pivot, at, force r2.Vec, cam, clockwise bool) float64 {
		arm := r2.Sub(at, pivot)
		return plane.Sense(cam) * plane.Sense(clockwise) * r2.Cross(arm, force) / r2.Cross(at, force)
	}
	at := func(pivot, point r2.Vec, clockwise bool) r2.Vec {
		return r2.Rotate(point, plane.Sense(clockwise)*phi, pivot)
	}
	switch l := l.(type) {
	case PinInSlot: // the slot's wall pushes at a right angle to the slot
		q := at(l.Pivot, l.Pin, l.Clockwise)
		along := r2.Rotate(q, math.Asin(l.Offset/r2.Norm(q)), r2.Vec{})
		return contact(l.Pivot, q, plane.Quarter(along), l.TurnsClockwise(), l.Clockwise), true
	case flank.Follower: // so does the flank, along its path in polar coordinates
		q := at(l.Pivot, l.Roller, l.Clockwise)
		rho := r2.Norm(q)
		twist := rho * (l.Slope + 2*l.Bend*(rho-r2.Norm(l.Roller)))
		along := r2.Add(q, r2.Scale(twist, plane.Quarter(q)))
		return contact(l.Pivot, q, plane.Quarter(along), l.TurnsClockwise(), l.Clockwise), true
	case linkages.FourBar: // a link without mass carries force along itself only
		a := at(l.Pivot, l.Joint, l.Clockwise)
		b := r2.Rotate(l.CamJoint, plane.Sense(l.TurnsClockwise())*theta, r2.Vec{})
		rod := r2.Sub(b, a)
		within(t, "link length", r2.Norm(rod), r2.Norm(r2.Sub(l.CamJoint, l.Joint)), 1e-14)
		arm := r2.Sub(a, l.Pivot)
		return plane.Sense(l.TurnsClockwise()) * plane.Sense(l.Clockwise) * r2.Cross(arm, rod) / r2.Cross(b, rod), true
	case linkages.SliderCrank: // and the guide takes what is not along the slide
		a := r2.Vec{X: l.Rest + l.Slide*phi}
		cos := (l.Rest*l.Rest + l.Crank*l.Crank - l.Rod*l.Rod) / (2 * l.Rest * l.Crank)
		pin := r2.Scale(l.Crank, r2.Vec{X: cos, Y: math.Sqrt(1 - cos*cos)})
		turns := -1.0
		if math.Abs(r2.Norm(r2.Sub(r2.Rotate(pin, theta, r2.Vec{}), a))-l.Rod) < 1e-9 {
			turns = 1
		}
		b := r2.Rotate(pin, turns*theta, r2.Vec{})
		rod := r2.Sub(b, a)
		within(t, "rod length", r2.Norm(rod), l.Rod, 1e-14)
		return turns * rod.X * l.Slide / r2.Cross(b, rod), true
	case linkages.RollingCams: // no sliding: the force acts across the line of centres
		pivot, touch := r2.Vec{X: l.Centres}, r2.Vec{X: l.Centres - l.Radius - l.Growth*phi}
		return contact(pivot, touch, r2.Vec{Y: 1}, false, true), true
	}
	return d1, false
}

// Virtual work and a balance of forces drawn as vectors agree to 1e-10: forces
// of the springs at their hooks, centrifugal forces at the centres of mass,
// moments about each pivot, the cam's moment brought back through the contact.
func TestForceBalance(t *testing.T) {
	for name := range EveryLinkage {
		rnd := rand.New(rand.NewPCG(7, 8))
		worst := 0.0
		for range 60 {
			m := randomMechanism(t, rnd, name)
			phi := m.Stop * rnd.Float64()
			u, err := m.SpeedSquared(phi)
			if err != nil {
				t.Fatal(name, err)
			}
			l, geometric := lever(t, m.Linkage, phi)
			if geometric {
				_, d1, _ := m.Linkage.Cam(phi)
				within(t, name+" lever", l, d1, 1e-10*d1)
			}
			outwards, size := m.momentByForces(phi, u, l)
			worst = math.Max(worst, math.Abs(outwards)/size)
		}
		if !(worst <= 1e-10) {
			t.Errorf("%s: forces leave %g of the moment", name, worst)
		}
	}
}

// momentByForces returns the sum of the moments on the swing at speed squared u,
// outwards positive, and the sum of their magnitudes.
func (m *Mechanism) momentByForces(phi, u, lever float64) (sum, size float64) {
	theta, _, _ := m.Linkage.Cam(phi)
	forward := plane.Sense(m.CamClockwise)
	where := func(a Anchor) r2.Vec {
		switch i := a.Body.weight(); {
		case a.Body == Cam:
			return r2.Rotate(a.Point, forward*theta, r2.Vec{})
		case a.Body == Plate:
			return a.Point
		case m.Weights[i].slides():
			return r2.Add(a.Point, r2.Scale(phi, m.Weights[i].Slide))
		default:
			return r2.Rotate(a.Point, plane.Sense(m.Weights[i].Clockwise)*phi, m.Weights[i].Pivot)
		}
	}
	add := func(moment float64) {
		sum += moment
		size += math.Abs(moment)
	}
	act := func(b Body, at, force r2.Vec) {
		switch i := b.weight(); {
		case b == Cam:
			add(lever * forward * r2.Cross(at, force))
		case b == Plate: // the plate takes it
		case m.Weights[i].slides():
			add(r2.Dot(force, m.Weights[i].Slide))
		default:
			add(plane.Sense(m.Weights[i].Clockwise) * r2.Cross(r2.Sub(at, m.Weights[i].Pivot), force))
		}
	}
	for i, w := range m.Weights {
		at := where(Anchor{OnWeight(i), w.Centre})
		act(OnWeight(i), at, r2.Scale(w.Mass*u, at))
	}
	for _, s := range m.Springs {
		a, b := where(s.A), where(s.B)
		along := r2.Sub(b, a)
		length := r2.Norm(along)
		pull := r2.Scale(s.Law.Tension(length)/length, along)
		act(s.A.Body, a, pull)
		act(s.B.Body, b, r2.Scale(-1, pull))
	}
	add(-lever * m.Drag)
	return sum, size
}

// Slopes of the table agree with differences of the closed form.
func TestStationSlopes(t *testing.T) {
	for name := range EveryLinkage {
		if name == "tabulated" { // its second derivative jumps at the points
			continue
		}
		rnd := rand.New(rand.NewPCG(9, 10))
		for range 20 {
			m := randomMechanism(t, rnd, name)
			c, err := m.Curve(nil)
			if err != nil {
				t.Fatal(name, err)
			}
			for _, s := range c.samples {
				const h = 1e-6
				if s.spring != 0 || s.phi < h || s.phi > m.Stop-h {
					continue
				}
				before, err := m.SpeedSquared(s.phi - h)
				if err != nil {
					t.Fatal(err)
				}
				after, err := m.SpeedSquared(s.phi + h)
				if err != nil {
					t.Fatal(err)
				}
				at, err := m.SpeedSquared(s.phi)
				if err != nil {
					t.Fatal(err)
				}
				within(t, name+" sample", s.rise, at, 1e-12*math.Abs(at))
				bend := math.Abs(before + after - 2*at)
				within(t, name+" slope", s.drise*h, (after-before)/2, bend+1e-9*math.Abs(at))
			}
		}
	}
}
