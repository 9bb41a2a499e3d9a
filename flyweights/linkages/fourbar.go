package linkages

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
)

// FourBar couples weight and cam by a link with a joint on each: ground, weight,
// link and cam are the four bars. A roller on a round flank of the cam is the
// same linkage, its link from the roller's centre to the flank's.
type FourBar struct {
	Pivot     r2.Vec // m in the plate frame at rest: the weight's pivot
	Joint     r2.Vec // m: the link's joint on the weight
	CamJoint  r2.Vec // m: its joint on the cam
	Clockwise bool   // sense of the weight's swing
}

// Cam returns the turn of the cam joint that keeps the link's length. Beyond
// the dead points, where the link would have to stretch, it jams: both
// derivatives are 0.
func (l FourBar) Cam(phi float64) (theta, d1, d2 float64) {
	sin, cos := math.Sincos(phi)
	rest := plane.Swung(l.Pivot, l.Joint, l.Clockwise, 0, 1)
	c := crankOf(l.Joint, l.CamJoint)
	theta, d1, d2 = c.turn(plane.Swung(l.Pivot, l.Joint, l.Clockwise, sin, cos))
	return plane.Jam(plane.Forwards(c.slope(rest), theta, d1, d2))
}

// TurnsClockwise reports the sense in which the weight turns the cam.
func (l FourBar) TurnsClockwise() bool {
	return crankOf(l.Joint, l.CamJoint).slope(plane.Swung(l.Pivot, l.Joint, l.Clockwise, 0, 1)) < 0
}

// Fits refuses a linkage whose own sizes are not valid, and a weight that cannot drive
// it: one with another pivot or sense, or a cam said to turn the other way. The pivots
// may lie a micrometre apart. A slide is not looked at.
func (l FourBar) Fits(pivot, _ r2.Vec, clockwise, camClockwise bool) error {
	if err := l.check(); err != nil {
		return err
	}
	if err := plane.CheckPivot("four-bar", l.Pivot, pivot); err != nil {
		return err
	}
	if err := plane.CheckSense("weight", clockwise, l.Clockwise); err != nil {
		return err
	}
	return plane.CheckSense("cam", camClockwise, l.TurnsClockwise())
}

// Travel returns the swing from rest to the first dead point.
func (l FourBar) Travel() (lo, hi float64) { return 0, plane.Range(l.Cam) }

// check refuses joints that are not finite or lie on their pivots, a link
// without length, and a linkage at a dead point at rest.
func (l FourBar) check() error {
	for _, p := range []struct {
		name   string
		at, on r2.Vec
	}{{"joint", l.Joint, l.Pivot}, {"cam joint", l.CamJoint, r2.Vec{}}, {"link", l.CamJoint, l.Joint}} {
		if err := plane.CheckPoint("four-bar "+p.name, p.at); err != nil {
			return err
		}
		if length := r2.Norm(r2.Sub(p.at, p.on)); !(length > 0) {
			return plane.Refuse("four-bar "+p.name+" length", length, "m", "more than 0")
		}
	}
	if err := plane.CheckPoint("four-bar pivot", l.Pivot); err != nil {
		return err
	}
	_, slope, _ := l.Cam(0)
	return plane.CheckForwards("four-bar", slope)
}

// crank turns about the shaft axis with a pin that keeps its distance from a
// moving joint at radius rho. The pin's angle is that of the joint plus or minus
//
//	delta = arccos (rho^2 + radius^2 - link^2)/(2 rho radius)
type crank struct {
	radius float64
	k      float64 // radius^2 - link^2
	side   float64 // +1 if the pin lies counter-clockwise of the joint
	rest   float64 // delta at rest
}

// crankOf returns the crank whose joint and pin are at a and b at rest.
func crankOf(a, b r2.Vec) crank {
	return crank{
		radius: r2.Norm(b),
		k:      r2.Norm2(b) - r2.Norm2(r2.Sub(a, b)),
		side:   math.Copysign(1, r2.Cross(a, b)),
		rest:   math.Atan2(math.Abs(r2.Cross(a, b)), r2.Dot(a, b)),
	}
}

// turn returns the crank's turn since rest, counter-clockwise positive, and its
// derivatives by phi; at a dead point or beyond it is stuck, all three 0.
func (c crank) turn(q plane.Polar) (theta, d1, d2 float64) {
	cos := (q.Rho + c.k/q.Rho) / (2 * c.radius)
	sin := math.Sqrt(1 - cos*cos)
	if !(sin > 0) { // NaN beyond the dead point
		return 0, 0, 0
	}
	steep := (1 - c.k/(q.Rho*q.Rho)) / (2 * c.radius)
	dc := steep * q.Rho1
	ddc := steep*q.Rho2 + c.k/(c.radius*q.Rho*q.Rho*q.Rho)*q.Rho1*q.Rho1
	return q.Angle + c.side*(math.Acos(cos)-c.rest),
		q.Angle1 - c.side*dc/sin,
		q.Angle2 - c.side*(ddc/sin+cos*dc*dc/(sin*sin*sin))
}

// slope returns the crank's dtheta/dphi, counter-clockwise positive.
func (c crank) slope(q plane.Polar) float64 {
	_, d1, _ := c.turn(q)
	return d1
}
