package bodies

import (
	"fmt"
	"math"
)

// Bearing is the face by which a weight rests on its plate or washer, a flat or
// conical ring about the pivot. The zero value is refused.
type Bearing struct {
	Inner, Outer float64 // m, radii; Inner 0 or more, Outer above it
	// HalfAngle is that of the cone in rad, from above 0 to a right angle; 0
	// stands for a right angle, a flat face.
	HalfAngle float64
	// Worn is a face worn evenly, its pressure as one over the radius; a new face has
	// the same pressure everywhere.
	Worn bool
}

// check refuses radii that do not rise from 0 or more, and a half angle that is
// not 0 to a right angle.
func (b Bearing) check() error {
	if !(b.Inner >= 0 && b.Inner < maxLength) {
		return outOfRange("inner radius", b.Inner, "m", "0 or more")
	}
	if !(b.Outer > b.Inner && b.Outer <= maxLength) {
		return outOfRange("outer radius", b.Outer, "m", fmt.Sprintf("more than the inner one, %.6g m", b.Inner))
	}
	if !(b.HalfAngle >= 0 && b.HalfAngle <= math.Pi/2) {
		return outOfRange("half angle of the cone", b.HalfAngle, "rad", "0 to a right angle")
	}
	return nil
}

// Moment returns the friction moment in N m of the face under an axial load in N
// with a friction coefficient from 0 to 10:
//
//	mu F/sin(a) times 2/3 (Ro^3 - Ri^3)/(Ro^2 - Ri^2)   new, uniform pressure
//	mu F/sin(a) times (Ro + Ri)/2                       worn
//
// (R. S. Khurmi and J. K. Gupta, Theory of Machines, ch. 10.) A journal of radius
// r holds a load F across it by mu F r instead.
func (b Bearing) Moment(mu, load float64) (float64, error) {
	if err := b.check(); err != nil {
		return 0, err
	}
	if !(mu >= 0 && mu <= 10) {
		return 0, outOfRange("friction coefficient", mu, "1", "0 to 10")
	}
	if !(load >= 0 && load <= maxMass) {
		return 0, outOfRange("load", load, "N", "0 or more")
	}
	arm := (b.Outer + b.Inner) / 2
	if !b.Worn {
		// The cubes over the squares without their difference, which cancels.
		arm = 2.0 / 3 * (b.Outer*b.Outer + b.Outer*b.Inner + b.Inner*b.Inner) / (b.Outer + b.Inner)
	}
	sin := 1.0
	if b.HalfAngle > 0 {
		sin = math.Sin(b.HalfAngle)
	}
	moment := mu * load * arm / sin
	if math.IsInf(moment, 0) {
		return 0, outOfRange("half angle of the cone", b.HalfAngle, "rad", "0 for a flat face, or not so small")
	}
	return moment, nil
}
