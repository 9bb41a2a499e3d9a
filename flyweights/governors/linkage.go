package governors

import (
	"math"

	"gonum.org/v1/gonum/num/hyperdual"
)

// Linkage is the linkage of a governor.
type Linkage interface {
	// at returns the radius r and height z of a ball and the lift s of the
	// sleeve, m, at the coordinate q, rad, in numbers that carry derivatives.
	at(q hyperdual.Number) (r, z, s hyperdual.Number)
	// coordinate returns the q in rad at which the balls stand at a radius in m,
	// NaN if they cannot.
	coordinate(radius float64) float64
}

func number(x float64) hyperdual.Number { return hyperdual.Number{Real: x} }

// Arms is the frame of Watt's and Porter's governors: an upper arm from a pivot
// near the axis down to the ball, a lower arm from there down to the sleeve. The
// coordinate is the upper arm's angle from the upright. Watt's has a sleeve
// without mass.
type Arms struct {
	Upper, Lower float64 // m, > 0: lengths between joints
	// Pivot and Link are the radii in m of the upper arm's pivot and of the lower
	// arm's joint on the sleeve; 0 is on the axis, negative crosses it.
	Pivot, Link float64
}

// at returns ball and sleeve.
func (a Arms) at(q hyperdual.Number) (r, z, s hyperdual.Number) {
	r = hyperdual.Add(number(a.Pivot), hyperdual.Scale(a.Upper, hyperdual.Sin(q)))
	z = hyperdual.Scale(-a.Upper, hyperdual.Cos(q))
	return r, z, hyperdual.Sub(z, a.drop(r))
}

// drop is the height of the ball joint above the sleeve's.
func (a Arms) drop(r hyperdual.Number) hyperdual.Number {
	x := hyperdual.Sub(r, number(a.Link))
	return hyperdual.Sqrt(hyperdual.Sub(number(a.Lower*a.Lower), hyperdual.Mul(x, x)))
}

// coordinate returns arcsin((radius - Pivot)/Upper).
func (a Arms) coordinate(radius float64) float64 { return math.Asin((radius - a.Pivot) / a.Upper) }

func (a Arms) check() error {
	for _, f := range []struct {
		name  string
		value float64
	}{{"upper arm", a.Upper}, {"lower arm", a.Lower}} {
		if !(f.value > 0) || !finite(f.value) {
			return outOfRange(f.name, f.value, "m", "a finite number above 0")
		}
	}
	return nil
}

// Proell is the frame with the balls not at the joint of the arms but on
// extensions of the lower arms that stand upright, above the joint, when the
// joint is at the radius Upright. The extension is rigid: elsewhere it leans with
// the lower arm, which the textbooks' shortcut of a vertical extension at every
// radius leaves out.
type Proell struct {
	Arms
	Extension float64 // m, >= 0
	Upright   float64 // m: radius of the joint at which the extension is upright
}

// at returns ball and sleeve.
func (p Proell) at(q hyperdual.Number) (r, z, s hyperdual.Number) {
	r, z, s = p.Arms.at(q)
	upright := math.Asin((p.Upright - p.Link) / p.Lower)
	lean := hyperdual.Asin(hyperdual.Scale(1/p.Lower, hyperdual.Sub(r, number(p.Link))))
	lean.Real -= upright
	r = hyperdual.Add(r, hyperdual.Scale(p.Extension, sin(lean)))
	z = hyperdual.Add(z, hyperdual.Scale(p.Extension, hyperdual.Cos(lean)))
	return r, z, s
}

// sin is the sine. That of gonum v0.17 loses the mixed derivative at exactly 0,
// where the sine is x to second order.
func sin(x hyperdual.Number) hyperdual.Number {
	if x.Real == 0 {
		return x
	}
	return hyperdual.Sin(x)
}

// coordinate returns the q at which the joint, not the leaning ball, stands at
// the radius: the two agree where the extension is upright.
func (p Proell) coordinate(radius float64) float64 { return p.Arms.coordinate(radius) }

func (p Proell) check() error {
	if !(p.Extension >= 0) || !finite(p.Extension) {
		return outOfRange("extension", p.Extension, "m", "a finite number of 0 or more")
	}
	if !(math.Abs(p.Upright-p.Link) < p.Lower) {
		return outOfRange("upright radius", p.Upright, "m", "within the lower arm's reach")
	}
	return p.Arms.check()
}

// Crank is the frame of spring loaded governors, Hartnell's and its kin: right
// angled bell cranks on a fulcrum, the ball on the arm that stands upright at
// q = 0, the sleeve on the level one. The coordinate is the crank's turn
// outwards.
type Crank struct {
	BallArm, SleeveArm float64 // m, > 0
	Radius             float64 // m, > 0: of the balls at q = 0, which is that of the fulcrum
	// Straight takes ball and sleeve to move in straight lines, ball arm times q
	// and sleeve arm times q, and drops the moment of the balls' weight: the
	// textbooks' usual neglect of obliquity.
	Straight bool
}

// at returns ball and sleeve.
func (c Crank) at(q hyperdual.Number) (r, z, s hyperdual.Number) {
	if c.Straight {
		return hyperdual.Add(number(c.Radius), hyperdual.Scale(c.BallArm, q)), hyperdual.Number{}, hyperdual.Scale(c.SleeveArm, q)
	}
	return hyperdual.Add(number(c.Radius), hyperdual.Scale(c.BallArm, sin(q))),
		hyperdual.Scale(c.BallArm, hyperdual.Cos(q)), hyperdual.Scale(c.SleeveArm, sin(q))
}

// coordinate returns (radius - Radius)/BallArm or, exactly, its arcsine.
func (c Crank) coordinate(radius float64) float64 {
	x := (radius - c.Radius) / c.BallArm
	if c.Straight {
		return x
	}
	return math.Asin(x)
}

func (c Crank) check() error {
	for _, f := range []struct {
		name  string
		value float64
	}{{"ball arm", c.BallArm}, {"sleeve arm", c.SleeveArm}, {"ball radius", c.Radius}} {
		if !(f.value > 0) || !finite(f.value) {
			return outOfRange(f.name, f.value, "m", "a finite number above 0")
		}
	}
	return nil
}
