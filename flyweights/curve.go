package flyweights

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights/internal/plane"
)

// Direction is the sense of a slow sweep of speed.
type Direction int

const (
	// Rising speed: friction stands against the swing outwards.
	Rising Direction = iota
	// Falling speed: friction stands against the return.
	Falling
)

// String returns "rising" or "falling".
func (d Direction) String() string {
	if d == Falling {
		return "falling"
	}
	return "rising"
}

// Curve is an advance curve prepared for reading: output over speed, for rising
// and for falling speed. Make one with [Mechanism.Curve] or [Trace]; reading it
// does not change it, so several goroutines may. The zero value, and nil,
// read as a mechanism that never moves.
type Curve struct {
	samples []sample
	sweeps  [2]sweep // by Direction

	// Working memory of the making.
	output    float64 // theta at the stop
	stretches []stretch
	pulled    []bool
	taken     []takeUp
}

// begin empties the curve and sizes its working memory.
func (c *Curve) begin(springs int) {
	if c.samples == nil {
		c.samples = make([]sample, 0, 2*steps+1+4*springs)
	}
	c.samples = c.samples[:0]
	if cap(c.pulled) < springs {
		c.pulled, c.stretches = make([]bool, springs), make([]stretch, springs)
	}
	c.pulled, c.stretches = c.pulled[:springs], c.stretches[:springs]
}

// finish refuses an output that does not start at 0 and rise, and draws the two
// envelopes.
func (c *Curve) finish() error {
	s := c.samples
	if !(math.Abs(s[0].theta) <= 1e-12) {
		return plane.Refuse("turn of the cam at rest", s[0].theta, "rad", "0")
	}
	s[0].theta = 0 // exactly, whatever the rounding of the linkage
	for i := 1; i < len(s); i++ {
		if s[i].phi > s[i-1].phi && !(s[i].theta > s[i-1].theta) {
			return plane.Refuse(fmt.Sprintf("turn of the cam at a swing of %.6g rad", s[i].phi), s[i].theta, "rad",
				fmt.Sprintf("more than the %.6g rad one step before", s[i-1].theta))
		}
	}
	c.sweeps[Rising].draw(s, Rising)
	c.sweeps[Falling].draw(s, Falling)
	return nil
}

// sweep returns the envelope of a direction; any value but Falling is Rising.
func (c *Curve) sweep(dir Direction) *sweep {
	if c == nil {
		return new(sweep)
	}
	if dir == Falling {
		return &c.sweeps[Falling]
	}
	return &c.sweeps[Rising]
}

// Theta returns the advance in rad at a steady speed omega in rad/s that was
// reached slowly in the given direction: 0 below the start, theta(Stop) above
// all-in, never falling as omega rises. Where the mechanism snaps it returns the
// position before the snap. The sign of omega does not matter; NaN gives 0.
func (c *Curve) Theta(omega float64, dir Direction) float64 {
	s := c.sweep(dir)
	v := s.level(omega)
	return s.theta(s.find(v), v)
}

// Phi returns the swing of the weights in rad at a speed omega in rad/s, in the
// manner of [Curve.Theta].
func (c *Curve) Phi(omega float64, dir Direction) float64 {
	s := c.sweep(dir)
	v := s.level(omega)
	return s.phi(s.find(v), v)
}

// Sweep writes the advance in rad at each speed of omegas in rad/s into dst and
// returns it. A dst too short (nil, say) is replaced. Speeds in order are read
// fastest, but any order is right.
func (c *Curve) Sweep(dst, omegas []float64, dir Direction) []float64 {
	if cap(dst) < len(omegas) {
		dst = make([]float64, len(omegas))
	}
	dst = dst[:len(omegas)]
	s := c.sweep(dir)
	k := 0
	for i, omega := range omegas {
		v := s.level(omega)
		k = s.walk(k, v)
		dst[i] = s.theta(k, v)
	}
	return dst
}

// Start returns the speed in rad/s at which the weights leave rest in a rising
// sweep, or are back at rest in a falling one. A falling sweep that friction
// keeps from coming back, or slack springs leave lying, returns 0, and
// [Curve.Events] tells of it; what stays out is [Curve.Theta] at standstill.
func (c *Curve) Start(dir Direction) float64 {
	s := c.sweep(dir)
	if dir == Falling {
		return rootOf(-s.last)
	}
	return rootOf(s.first)
}

// AllIn returns the speed in rad/s at which the weights reach the stop in a
// rising sweep, or leave it in a falling one.
func (c *Curve) AllIn(dir Direction) float64 {
	s := c.sweep(dir)
	if dir == Falling {
		return rootOf(-s.first)
	}
	return rootOf(s.last)
}

// Travel returns the advance in rad at the stop.
func (c *Curve) Travel() float64 {
	if c == nil || len(c.samples) == 0 {
		return 0
	}
	return c.samples[len(c.samples)-1].theta
}

// rootOf is the speed of a squared speed; negative ones, where springs push the
// weights out by themselves, count as standstill.
func rootOf(u float64) float64 { return math.Sqrt(math.Max(u, 0)) }
