package motion

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// steady is a constant speed in rad/s, 0 to 1e5.
type steady float64

// at returns the speed, no acceleration, and speed times time.
func (s steady) at(t float64) (omega, alpha, angle float64) { return float64(s), 0, float64(s) * t }

// next returns +Inf.
func (s steady) next(float64) float64 { return math.Inf(1) }

// scale returns +Inf: nothing happens.
func (s steady) scale() float64 { return math.Inf(1) }

// check refuses a speed that is negative or not finite.
func (s steady) check() error {
	return check(valid.In("steady speed", float64(s), "rad/s", 0, maxSpeed))
}
