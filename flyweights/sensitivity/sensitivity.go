// Package sensitivity says how the advance at a fixed speed answers to each
// number of a mechanism: which tolerance matters, and which error of a measured
// dimension does not.
package sensitivity

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// Sensitivity says how the advance at a fixed speed answers to one number of the
// mechanism.
type Sensitivity struct {
	Name    string  // which number, for example "spring 2 rate"
	Unit    string  // its unit
	Value   float64 // as it stands
	PerUnit float64 // dtheta/dvalue, rad per unit
	Percent float64 // rad of advance for 1 % more of it
}

// At returns d(theta)/d(every number) at a steady speed omega in rad/s, 0 to 1e6,
// reached in the given direction, in the order of the fields: weights, springs,
// linkage, drag, friction, stop. With G(phi, p) = 0 the balance at that speed,
//
//	dtheta/dp = ∂theta/∂p - dtheta/dphi (∂G/∂p)/(∂G/∂phi)
//
// The derivatives by phi are exact, those by p central differences of the closed
// form, extrapolated once by Richardson, good to some 1e-9 of their size. Where a
// hold keeps the weights, G is the length of its spring less the take-up length;
// at the stop phi is the stop, and at rest nothing moves. Every field is moved
// alone: a pivot that both a weight and the linkage name counts twice. The
// numbers of a linkage are those of this module's linkages; a table has none.
// Errors are those of the mechanism's Curve, a speed out of range, and a speed of
// a snap, where the advance jumps; they wrap flyweights.ErrRange.
func At(m *flyweights.Mechanism, omega float64, dir flyweights.Direction) ([]Sensitivity, error) {
	if err := valid.Check(valid.ErrRange, valid.In("speed", omega, "rad/s", 0, 1e6)); err != nil {
		return nil, err
	}
	c, err := m.Curve(nil)
	if err != nil {
		return nil, err
	}
	x := newStudy(m, omega*omega, dir)
	x.settle(c, omega, dir)
	out := make([]Sensitivity, len(x.numbers))
	for i, n := range x.numbers {
		d := x.derivative(n)
		if !valid.Finite(d, 0.01*n.value*d) {
			return nil, fmt.Errorf("%w: advance at %.6g rad/s jumps, valid is a speed away from a snap", valid.ErrRange, omega)
		}
		out[i] = Sensitivity{n.name, n.unit, n.value, d, 0.01 * n.value * d}
	}
	return out, nil
}

// study is a copy of a mechanism at a squared speed whose numbers can be changed.
type study struct {
	m       *flyweights.Mechanism
	u       float64
	against float64 // +1 if friction stands against the swing outwards
	numbers []number

	state  state
	phi    float64
	spring int    // that holds, in a hold
	pulled []bool // springs under tension at phi
}

// state is what decides the swing.
type state int

const (
	resting state = iota
	stopped
	holding
	moving
)

// settle finds what decides the swing at a speed.
func (x *study) settle(c *flyweights.Curve, omega float64, dir flyweights.Direction) {
	x.phi = c.Phi(omega, dir)
	x.pulled = make([]bool, len(x.m.Springs))
	for i := range x.m.Springs {
		x.pulled[i] = x.over(i, x.phi) > 0
	}
	switch {
	case x.phi == 0:
		x.state = resting
		return
	case x.phi == x.m.Stop:
		x.state = stopped
		return
	}
	for _, e := range c.Events(dir) {
		lo, hi := math.Min(e.Omega, e.ToOmega), math.Max(e.Omega, e.ToOmega)
		if e.Kind == flyweights.Hold && omega > lo && omega < hi {
			x.state, x.phi, x.spring = holding, e.Phi, x.nearest(e.Phi)
			return
		}
	}
	x.state = moving
	x.polish()
}

// nearest returns the spring whose length at a swing is nearest to its take-up.
func (x *study) nearest(phi float64) int {
	best, least := 0, math.Inf(1)
	for i := range x.m.Springs {
		if d := math.Abs(x.over(i, phi)); d < least {
			best, least = i, d
		}
	}
	return best
}

// polish sharpens a swing read from the curve's table by Newton's method on the
// closed form.
func (x *study) polish() {
	for range 3 {
		g, slope := x.balance(x.phi)
		next := x.phi - g/slope
		if !(next >= 0 && next <= x.m.Stop) {
			return
		}
		x.phi = next
	}
}

// balance returns G, the moment outwards less friction, and its derivative.
func (x *study) balance(phi float64) (g, slope float64) {
	s := x.m.State(phi, 0, x.pulled)
	return x.u*s.Weights - s.Restore - x.against*s.Friction,
		x.u*s.DWeights - s.DRestore - x.against*s.DFriction
}

// over returns by how much in m a spring is longer than its take-up length.
func (x *study) over(i int, phi float64) float64 {
	return x.m.SpringLength(i, phi) - x.m.Springs[i].Law.TakeUp()
}

// derivative returns dtheta/dp.
func (x *study) derivative(n number) float64 {
	if x.state == resting {
		return 0
	}
	turn := 0.0
	if n.linkage {
		turn = slope(n.at, n.step(), func() float64 { theta, _, _ := x.m.Linkage.Cam(x.phi); return theta })
	}
	_, d1, _ := x.m.Linkage.Cam(x.phi)
	switch x.state {
	case stopped:
		if n.at == &x.m.Stop {
			turn += d1
		}
	case holding:
		phi := x.phi
		byPhi := slope(&phi, 1e-4*x.m.Stop, func() float64 { return x.over(x.spring, phi) })
		byP := slope(n.at, n.step(), func() float64 { return x.over(x.spring, x.phi) })
		turn -= d1 * byP / byPhi
	default:
		_, byPhi := x.balance(x.phi)
		byP := slope(n.at, n.step(), func() float64 { g, _ := x.balance(x.phi); return g })
		turn -= d1 * byP / byPhi
	}
	return turn
}

// slope returns the derivative of f by *at: central differences over a step and
// its half, extrapolated to none.
func slope(at *float64, h float64, f func() float64) float64 {
	value := *at
	central := func(h float64) float64 {
		*at = value + h
		above := f()
		*at = value - h
		below := f()
		*at = value
		return (above - below) / (2 * h)
	}
	wide := central(h)
	return (4*central(h/2) - wide) / 3
}
