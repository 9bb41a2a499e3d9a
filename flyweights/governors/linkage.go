package governors

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Linkage is the linkage of a governor: [Arms], [Proell] or [Crank].
type Linkage interface {
	// at returns the radius r and height z of a ball and the lift s of the
	// sleeve, m, at the coordinate q, rad.
	at(q jet) (r, z, s jet)
	// coordinate returns the q in rad at which the balls stand at a radius in m,
	// NaN if they cannot.
	coordinate(radius float64) float64
	check() error
}

// Arms is the frame of Watt's and Porter's governors: an upper arm from a pivot
// near the axis down to the ball, a lower arm from there down to the sleeve. The
// coordinate is the upper arm's angle from the upright. Watt's has a sleeve
// without mass.
type Arms struct {
	Upper, Lower float64 // m, 1e-6 to 1000: lengths between joints
	// Pivot and Link are the radii in m of the upper arm's pivot and of the lower
	// arm's joint on the sleeve; 0 is on the axis, negative crosses it.
	Pivot, Link float64
}

// at returns ball and sleeve.
func (a Arms) at(q jet) (r, z, s jet) {
	r = q.sin().times(a.Upper).plus(constant(a.Pivot))
	z = q.cos().times(-a.Upper)
	// The ball's joint stands above the sleeve's by the lower arm's upright leg.
	return r, z, z.minus(r.minus(constant(a.Link)).leg(a.Lower))
}

// coordinate returns arcsin((radius - Pivot)/Upper).
func (a Arms) coordinate(radius float64) float64 { return math.Asin((radius - a.Pivot) / a.Upper) }

func (a Arms) check() error {
	return check(valid.In("upper arm", a.Upper, "m", 1e-6, maxLength), valid.In("lower arm", a.Lower, "m", 1e-6, maxLength),
		valid.In("upper arm's pivot radius", a.Pivot, "m", -maxLength, maxLength), valid.In("lower arm's joint radius", a.Link, "m", -maxLength, maxLength))
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
func (p Proell) at(q jet) (r, z, s jet) {
	r, z, s = p.Arms.at(q)
	lean := r.minus(constant(p.Link)).times(1 / p.Lower).asin()
	lean.v -= math.Asin((p.Upright - p.Link) / p.Lower)
	return r.plus(lean.sin().times(p.Extension)), z.plus(lean.cos().times(p.Extension)), s
}

// coordinate returns the q at which the joint, not the leaning ball, stands at
// the radius: the two agree where the extension is upright.
func (p Proell) coordinate(radius float64) float64 { return p.Arms.coordinate(radius) }

func (p Proell) check() error {
	if err := check(valid.In("extension", p.Extension, "m", 0, maxLength)); err != nil {
		return err
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
	BallArm, SleeveArm float64 // m, 1e-6 to 1000
	Radius             float64 // m, 1e-6 to 1000: of the balls at q = 0, which is that of the fulcrum
	// Straight takes ball and sleeve to move in straight lines, ball arm times q
	// and sleeve arm times q, and drops the moment of the balls' weight: the
	// textbooks' usual neglect of obliquity.
	Straight bool
}

// at returns ball and sleeve.
func (c Crank) at(q jet) (r, z, s jet) {
	if c.Straight {
		return q.times(c.BallArm).plus(constant(c.Radius)), jet{}, q.times(c.SleeveArm)
	}
	return q.sin().times(c.BallArm).plus(constant(c.Radius)), q.cos().times(c.BallArm), q.sin().times(c.SleeveArm)
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
	return check(valid.In("ball arm", c.BallArm, "m", 1e-6, maxLength), valid.In("sleeve arm", c.SleeveArm, "m", 1e-6, maxLength),
		valid.In("ball radius", c.Radius, "m", 1e-6, maxLength))
}
