package linkages

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// RollingCams is a cheek of the weight that rolls on the cam without sliding. Two
// bodies that roll on each other about fixed axes touch on the line of centres,
// so the weight's pitch radius r leaves the cam Centres - r, and
// dtheta/dphi = r/(Centres - r). The pitch radius changes evenly with the swing,
// r = Radius + Growth phi; cam and weight turn in opposite senses.
type RollingCams struct {
	Centres float64 // m, > 0: shaft axis to weight pivot
	Radius  float64 // m, > 0 and < Centres: the weight's pitch radius at rest
	Growth  float64 // m/rad: its growth with the swing, 0 for round cheeks
}

// Cam returns the integral of r/(Centres - r),
//
//	theta = -(Centres/Growth) ln(1 - Growth phi/(Centres - Radius)) - phi
//
// Where a pitch radius is used up it jams: both derivatives are 0.
func (l RollingCams) Cam(phi float64) (theta, d1, d2 float64) {
	r := l.Radius + l.Growth*phi
	s := l.Centres - r
	if !(r > 0 && s > 0) {
		return 0, 0, 0
	}
	d1, d2 = r/s, l.Centres*l.Growth/(s*s)
	if l.Growth == 0 {
		return plane.Jam(d1*phi, d1, 0)
	}
	return plane.Jam(-l.Centres/l.Growth*math.Log1p(-l.Growth*phi/(l.Centres-l.Radius))-phi, d1, d2)
}

// Fits refuses sizes that are not valid, a weight whose pivot is not Centres from the shaft axis, and a cam
// that does not turn against the weight.
func (l RollingCams) Fits(pivot, _ r2.Vec, clockwise, camClockwise bool) error {
	if err := l.check(); err != nil {
		return err
	}
	if err := plane.CheckLength("rolling cams centre distance", l.Centres, "m", r2.Norm(pivot)); err != nil {
		return err
	}
	return plane.CheckSense("cam", camClockwise, !clockwise)
}

// Travel returns the swing from rest to where a pitch radius is used up.
func (l RollingCams) Travel() (lo, hi float64) { return 0, plane.Range(l.Cam) }

// check refuses radii out of range.
func (l RollingCams) check() error {
	return valid.Check(plane.ErrRange, valid.Above("rolling cams centre distance", l.Centres, "m", 0, plane.MaxLength),
		valid.Above("rolling cams radius", l.Radius, "m", 0, l.Centres*(1-1e-9)), valid.In("rolling cams growth", l.Growth, "m/rad", -plane.MaxLength, plane.MaxLength))
}
