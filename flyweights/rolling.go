package flyweights

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Rolling is a cheek of the weight that rolls on the cam without sliding. Two
// bodies that roll on each other about fixed axes touch on the line of centres,
// so the weight's pitch radius r leaves the cam Centres - r, and
// dtheta/dphi = r/(Centres - r). The pitch radius changes evenly with the swing,
// r = Radius + Growth phi; cam and weight turn in opposite senses.
type Rolling struct {
	Centres float64 // m, > 0: shaft axis to weight pivot
	Radius  float64 // m, > 0 and < Centres: the weight's pitch radius at rest
	Growth  float64 // m/rad: its growth with the swing, 0 for round cheeks
}

// Cam returns the integral of r/(Centres - r),
//
//	theta = -(Centres/Growth) ln(1 - Growth phi/(Centres - Radius)) - phi
//
// Where a pitch radius is used up it jams: both derivatives are 0.
func (l Rolling) Cam(phi float64) (theta, d1, d2 float64) {
	r := l.Radius + l.Growth*phi
	s := l.Centres - r
	if !(r > 0 && s > 0) {
		return 0, 0, 0
	}
	d1, d2 = r/s, l.Centres*l.Growth/(s*s)
	if l.Growth == 0 {
		return d1 * phi, d1, 0
	}
	return -l.Centres/l.Growth*math.Log1p(-l.Growth*phi/(l.Centres-l.Radius)) - phi, d1, d2
}

// Travel returns the swing from rest to where a pitch radius is used up.
func (l Rolling) Travel() (lo, hi float64) { return 0, reach(l) }

// Check refuses radii out of range.
func (l Rolling) Check() error {
	switch {
	case !(l.Centres > 0) || !finite(l.Centres):
		return outOfRange("rolling linkage centre distance", l.Centres, "m", "a finite number above 0")
	case !(l.Radius > 0 && l.Radius < l.Centres):
		return outOfRange("rolling linkage radius", l.Radius, "m", fmt.Sprintf("more than 0 and less than the centre distance of %.6g m", l.Centres))
	case !finite(l.Growth):
		return outOfRange("rolling linkage growth", l.Growth, "m/rad", "a finite number")
	}
	return nil
}

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
func (l Follower) Cam(phi float64) (theta, d1, d2 float64) { return l.cam(math.Sincos(phi)) }

func (l Follower) cam(sin, cos float64) (theta, d1, d2 float64) {
	q := swung(l.Pivot, l.Roller, l.Clockwise, sin, cos)
	x := q.rho - r2.Norm(l.Roller)
	steep := l.Slope + 2*l.Bend*x
	return forwards(l.slope(),
		q.angle-(l.Slope+l.Bend*x)*x,
		q.angle1-steep*q.rho1,
		q.angle2-steep*q.rho2-2*l.Bend*q.rho1*q.rho1)
}

// slope returns dtheta/dphi at rest, counter-clockwise positive.
func (l Follower) slope() float64 {
	q := swung(l.Pivot, l.Roller, l.Clockwise, 0, 1)
	return q.angle1 - l.Slope*q.rho1
}

// TurnsClockwise reports the sense in which the weight turns the cam.
func (l Follower) TurnsClockwise() bool { return l.slope() < 0 }

// Travel returns the swing from rest to where the cam would turn back.
func (l Follower) Travel() (lo, hi float64) { return 0, reach(l) }

// Check refuses values that are not finite and a roller on its pivot or on the
// axis.
func (l Follower) Check() error {
	if err := checkVec("follower pivot", l.Pivot); err != nil {
		return err
	}
	if err := checkVec("follower roller", l.Roller); err != nil {
		return err
	}
	if radius := r2.Norm(l.Roller); !(radius > 0) || l.Roller == l.Pivot {
		return outOfRange("follower roller radius", radius, "m", "more than 0, and away from the pivot")
	}
	if !finite(l.Slope) {
		return outOfRange("follower slope", l.Slope, "rad/m", "a finite number")
	}
	if !finite(l.Bend) {
		return outOfRange("follower bend", l.Bend, "rad/m^2", "a finite number")
	}
	return checkReach("follower", l)
}
