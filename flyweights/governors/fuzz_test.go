package governors

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Any numbers in every kind of governor are refused in words or give numbers.
func FuzzGovernors(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.25, 0.23, 0.03, 3.0, 20.0, 8.0, 900.0, 20000.0, 0.15, 40.0)
	f.Add(0.12, 0.1, 0.14, 2.0, 4.0, 15.0, 900.0, 20000.0, 0.16, 0.01)
	f.Add(1e300, 1e-300, -1e300, 1e308, 5e-324, 1e300, -1e300, 1e300, 1e-300, 1e300)
	f.Add(math.NaN(), math.Inf(1), 0.0, 1.0, 1.0, 1.0, 1.0, 1.0, math.Inf(-1), math.NaN())
	f.Fuzz(func(t *testing.T, a, b, c, ball, sleeve, friction, force, rate, radius, x float64) {
		links := []Linkage{
			Arms{Upper: a, Lower: b, Pivot: c, Link: x}, Proell{Arms: Arms{Upper: a, Lower: b, Pivot: c}, Extension: x, Upright: radius},
			Crank{BallArm: a, SleeveArm: b, Radius: c}, Crank{BallArm: a, SleeveArm: b, Radius: c, Straight: true}, nil, (*Arms)(nil),
		}
		fair := func(what string, err error, values ...float64) {
			t.Helper()
			if err == nil && !valid.Finite(values...) || err != nil && !errors.Is(err, errRange) && !errors.Is(err, valid.ErrRange) {
				t.Errorf("%s: %v, %v", what, values, err)
			}
		}
		one := func(what string) func(float64, error) {
			return func(v float64, err error) { t.Helper(); fair(what, err, v) }
		}
		for _, l := range links {
			g := Governor{
				Linkage: l, BallMass: ball, SleeveMass: sleeve, Friction: friction, Gravity: x,
				Sleeve: Spring{Force: force, Rate: rate}, Ball: Spring{Force: rate, Rate: force, From: radius},
			}
			one("speed")(g.SpeedAtRadius(radius, x))
			one("lift")(g.Lift(radius, radius*1.01))
			one("sleeve force")(g.SleeveForce(radius, x))
			one("controlling force")(g.ControllingForce(radius))
			one("upper arm")(g.UpperArmTension(radius))
			one("insensitiveness")(g.Insensitiveness(radius))
			effort, lift, err := g.Effort(radius, x, radius*1.1)
			fair("effort", err, effort, lift)
			if curve, err := g.curve(radius, radius*1.05); err == nil {
				fair("curve", nil, curve.Travel(), curve.Theta(x, flyweights.Rising), curve.Theta(x, flyweights.Falling))
			} else {
				fair("curve", err)
			}
			g.Sleeve = Spring{}
			s, err := g.SleeveSpring(radius, x, radius*1.05, x*1.01)
			fair("sleeve spring", err, s.Force, s.Rate, s.From)
		}
		one("height")(Height(a, b))
		line, err := LineThrough(a, force, b, rate)
		fair("line", err, line.Slope, line.Intercept)
		one("line's speed")(Line{a, b}.Speed(c, x))
	})
}
