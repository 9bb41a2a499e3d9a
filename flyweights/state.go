package flyweights

import (
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// State is what the mechanism is at one swing: the balance and what it takes to
// move. With the shaft at omega and its acceleration omega', virtual work gives
//
//	Inertia phi'' + DInertia/2 phi'^2 + Spin omega' = Weights omega^2 - Restore ∓ Friction
type State struct {
	Moments
	Inertia, DInertia float64 // kg m^2 on the swing, and its derivative by phi
	// Spin is the moment on the swing per unit of the shaft's acceleration,
	// kg m^2: positive if speeding up presses the weights in.
	Spin float64
}

// State returns the mechanism at a swing phi in rad, with a cam or rotor of
// inertia cam in kg m^2 about the shaft. pulled says for each spring whether its
// coils are pulled, which decides the tension on either side of a take-up; nil
// judges by the length, slack at the take-up length itself.
//
// A weight that swings has the inertia I + m c^2 about its pivot and, turning
// with the shaft, the spin I + m c·(pivot + c), counted negative if it swings
// against the direction of rotation; a slider has m b^2 and m R × b, b its
// Slide. The cam adds its inertia times (dtheta/dphi)^2 and dtheta/dphi.
//
// The zero value is returned where one of the numbers is none: for a swing that is
// not finite, springs whose ends meet, no mechanism.
func (m *Mechanism) State(phi, cam float64, pulled []bool) State {
	if m == nil {
		return State{}
	}
	p := m.pose(phi)
	var s State
	s.Theta, s.DTheta = p.theta, p.d1
	for i := range m.Weights {
		w := &m.Weights[i]
		moment, slope := w.moment(&p)
		s.Weights += moment
		s.DWeights += slope
		inertia, spin := w.inertia(&p)
		s.Inertia += inertia
		s.Spin += p.cam * spin
	}
	for i := range m.Springs {
		x := m.stretch(i, &p)
		on := x.length > m.Springs[i].Law.TakeUp()
		if i < len(pulled) {
			on = pulled[i]
		}
		if on {
			moment, slope := m.Springs[i].moment(x)
			s.Restore += moment
			s.DRestore += slope
		}
	}
	m.resist(&s.Moments, &p)
	s.Inertia += cam * p.d1 * p.d1
	s.DInertia = 2 * cam * p.d1 * p.d2
	s.Spin += cam * p.d1
	if sum := s.Inertia + s.DInertia + s.Spin + s.Weights + s.DWeights + s.Restore + s.DRestore + s.Friction + s.DFriction + s.Theta + s.DTheta; !valid.Finite(sum) {
		return State{}
	}
	return s
}

// inertia returns the weight's inertia on the swing and its spin for a shaft
// that turns counter-clockwise.
func (w *Weight) inertia(p *pose) (inertia, spin float64) {
	at, d1, _ := w.carry(w.Centre, p)
	if w.slides() {
		return w.Mass * r2.Norm2(w.Slide), w.Mass * r2.Cross(at, d1)
	}
	arm := r2.Sub(at, w.Pivot)
	return w.Inertia + w.Mass*r2.Norm2(arm), plane.Sense(w.Clockwise) * (w.Inertia + w.Mass*r2.Dot(at, arm))
}
