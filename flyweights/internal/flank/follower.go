// Package flank has a roller on a curved flank of known form: what a profile that was
// measured is held against. Only tests use it.
package flank

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Follower is a roller or pin on the weight against a curved flank or slot of
// the cam. The path that the cam gives to the roller's centre is, in polar
// coordinates on the cam, the angle
//
//	psi = Slope x + Bend x^2,   x = radius - radius at rest
//
// and theta = angle turned by the roller - psi.
type Follower struct {
	Pivot, Roller r2.Vec  // m in the plate frame at rest: weight pivot and roller centre
	Clockwise     bool    // sense of the weight's swing
	Slope         float64 // rad/m, counter-clockwise positive
	Bend          float64 // rad/m^2
}

// Cam returns the turn of the cam whose path passes through the roller.
func (l Follower) Cam(phi float64) (theta, d1, d2 float64) {
	sin, cos := math.Sincos(phi)
	q := plane.Swung(l.Pivot, l.Roller, l.Clockwise, sin, cos)
	x := q.Rho - r2.Norm(l.Roller)
	steep := l.Slope + 2*l.Bend*x
	return plane.Jam(plane.Forwards(l.slope(),
		q.Angle-(l.Slope+l.Bend*x)*x,
		q.Angle1-steep*q.Rho1,
		q.Angle2-steep*q.Rho2-2*l.Bend*q.Rho1*q.Rho1))
}

// slope returns dtheta/dphi at rest, counter-clockwise positive.
func (l Follower) slope() float64 {
	q := plane.Swung(l.Pivot, l.Roller, l.Clockwise, 0, 1)
	return q.Angle1 - l.Slope*q.Rho1
}

// TurnsClockwise reports the sense in which the weight turns the cam.
func (l Follower) TurnsClockwise() bool { return l.slope() < 0 }

// Fits refuses a linkage whose own sizes are not valid, and a weight that cannot drive
// it: one with another pivot or sense, or a cam said to turn the other way. The pivots
// may lie a micrometre apart. A slide is not looked at.
func (l Follower) Fits(pivot, _ r2.Vec, clockwise, camClockwise bool) error {
	if err := l.check(); err != nil {
		return err
	}
	if err := plane.CheckPivot("follower", l.Pivot, pivot); err != nil {
		return err
	}
	if err := plane.CheckSense("weight", clockwise, l.Clockwise); err != nil {
		return err
	}
	return plane.CheckSense("cam", camClockwise, l.TurnsClockwise())
}

// Travel returns the swing from rest to where the cam would turn back.
func (l Follower) Travel() (lo, hi float64) { return 0, plane.Range(l.Cam) }

// check refuses values that are not finite and a roller on its pivot or on the
// axis.
func (l Follower) check() error {
	if err := plane.CheckPoint("follower pivot", l.Pivot); err != nil {
		return err
	}
	if err := plane.CheckPoint("follower roller", l.Roller); err != nil {
		return err
	}
	if radius := r2.Norm(l.Roller); !(radius > 0) || l.Roller == l.Pivot {
		return plane.Refuse("follower roller radius", radius, "m", "more than 0, and away from the pivot")
	}
	if err := valid.Check(plane.ErrRange, valid.In("follower slope", l.Slope, "rad/m", -1e6, 1e6), valid.In("follower bend", l.Bend, "rad/m^2", -1e9, 1e9)); err != nil {
		return err
	}
	_, slope, _ := l.Cam(0)
	return plane.CheckForwards("follower", slope)
}
