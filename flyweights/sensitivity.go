package flyweights

import (
	"fmt"
	"math"
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

// Sensitivities returns d(theta)/d(every number) at a steady speed omega in
// rad/s reached in the given direction, in the order of the fields. With
// G(phi, p) = 0 the balance at that speed,
//
//	dtheta/dp = ∂theta/∂p - dtheta/dphi (∂G/∂p)/(∂G/∂phi)
//
// taken exactly, by differentiating the potential with dual numbers in phi and
// p. Where a hold keeps the weights, G is the length of its spring less the
// take-up length; at the stop phi is the stop, and at rest nothing moves. Every
// field is moved alone: a pivot that both a weight and the linkage name counts
// twice. Errors are those of [Mechanism.Curve], a speed that is not finite, and
// a speed of a snap, where the advance jumps.
func (m *Mechanism) Sensitivities(omega float64, dir Direction) ([]Sensitivity, error) {
	if !finite(omega) {
		return nil, outOfRange("speed", omega, "rad/s", "a finite number")
	}
	c, err := m.Curve(nil)
	if err != nil {
		return nil, err
	}
	s := c.sweep(dir)
	v := s.level(omega)
	p, t, held, moving := s.on(s.find(v), v)
	x := newVariation(m, omega*omega, dir)
	switch {
	case !moving && held.phi == 0:
		return x.all(func(int) (float64, error) { return 0, nil })
	case !moving:
		return x.all(func(i int) (float64, error) { return x.atStop(i), nil })
	case p.h == 0:
		return x.all(func(i int) (float64, error) { return x.held(p.phi, p.spring-1, i) })
	}
	phi := x.polish(p.phi + p.h*t)
	return x.all(func(i int) (float64, error) { return x.moving(phi, i) })
}

// all collects the sensitivities from the derivative by each number.
func (x *variation) all(derivative func(i int) (float64, error)) ([]Sensitivity, error) {
	out := make([]Sensitivity, len(x.numbers))
	for i, n := range x.numbers {
		d, err := derivative(i)
		if err != nil {
			return nil, err
		}
		if !finite(d) {
			return nil, fmt.Errorf("%w: advance at this speed jumps, valid is a speed away from a snap", ErrRange)
		}
		out[i] = Sensitivity{n.name, n.unit, n.value, d, 0.01 * n.value * d}
	}
	return out, nil
}

// atStop returns dtheta/dp with the swing held by the stop.
func (x *variation) atStop(i int) float64 {
	phi := x.m.Stop
	d := x.cam(x.with(i), number(phi)).E2mag
	if x.numbers[i].name == stopName {
		d += x.cam(x.with(-1), along1(phi)).E1mag
	}
	return d
}

// moving returns dtheta/dp where the balance decides.
func (x *variation) moving(phi float64, i int) (float64, error) {
	_, byPhi := x.balance(x.with(-1), along12(phi))
	_, byP := x.balance(x.with(i), along1(phi))
	return x.turn(phi, i, -byP/byPhi), nil
}

// held returns dtheta/dp where a spring is just being taken up.
func (x *variation) held(phi float64, spring, i int) (float64, error) {
	byPhi := x.over(x.with(-1), along1(phi), spring).E1mag
	byP := x.over(x.with(i), number(phi), spring).E2mag
	return x.turn(phi, i, -byP/byPhi), nil
}

// turn adds the linkage's own answer to that of the swing.
func (x *variation) turn(phi float64, i int, dphi float64) float64 {
	return x.cam(x.with(i), number(phi)).E2mag + x.cam(x.with(-1), along1(phi)).E1mag*dphi
}

// polish sharpens a swing read from the curve's table by Newton's method on the
// closed form.
func (x *variation) polish(phi float64) float64 {
	for range 3 {
		g, slope := x.balance(x.with(-1), along12(phi))
		next := phi - g/slope
		if !(next >= 0 && next <= x.m.Stop) {
			return phi
		}
		phi = next
	}
	return phi
}

// balance returns G, the moment outwards less friction, and its mixed
// derivative along the second dual direction.
func (x *variation) balance(p []hyper, phi hyper) (g, d float64) {
	weights, springs, drag := x.potentials(p, phi)
	f := x.fields(p)
	against := x.against
	size := math.Abs(springs.E1mag)
	g = weights.E1mag - springs.E1mag - drag.E1mag - against*(f.friction.Real+f.proportion.Real*size)
	d = weights.E1E2mag - springs.E1E2mag - drag.E1E2mag -
		against*(f.friction.E2mag+f.proportion.E2mag*size+f.proportion.Real*math.Copysign(springs.E1E2mag, springs.E1mag*springs.E1E2mag))
	return g, d
}
