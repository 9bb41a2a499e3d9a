package flyweights

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// slope returns dtheta/domega in rad per rad/s at a speed omega in rad/s: 0
// below the start, above all-in and where the mechanism holds, and the largest
// number there is where the curve stands upright, at the brink of a snap.
func (c *Curve) slope(omega float64, dir Direction) float64 {
	s := c.sweep(dir)
	v := s.level(omega)
	d := s.sign * s.slope(s.find(v), v)
	if d == 0 {
		return 0 // also at speeds whose double overflows
	}
	if slope := 2 * math.Abs(omega) * d; valid.Finite(slope) {
		return slope
	}
	return math.MaxFloat64
}

// slope returns the derivative of the output by the level.
func (s *sweep) slope(k int, v float64) float64 {
	p, t, _, ok := s.on(k, v)
	if !ok || p.h == 0 {
		return 0
	}
	return p.theta.Slope(t) / p.level.Slope(t)
}
