package governors

import (
	"fmt"
	"math"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// Height returns the height in m of a conical pendulum at omega in rad/s under
// gravity in m/s^2, g/omega^2: that of Watt's governor, from the ball's plane to
// where its arm meets the axis.
func Height(omega, gravity float64) (float64, error) {
	if err := check(valid.In("speed", math.Abs(omega), "rad/s", 1e-9, maxSpeed), valid.In("gravity", gravity, "m/s^2", 1e-9, 1e6)); err != nil {
		return 0, err
	}
	return gravity / (omega * omega), nil
}

// Insensitiveness returns by which share of the speed it can change at a radius
// in m before friction lets the sleeve move: (rising - falling)/speed.
func (g Governor) Insensitiveness(radius float64) (float64, error) {
	var omega [3]float64
	for i, share := range []float64{-1, 0, 1} {
		var err error
		if omega[i], err = g.SpeedAtRadius(radius, share); err != nil {
			return 0, err
		}
	}
	if !(omega[1] > 0) {
		return 0, outOfRange("speed", omega[1], "rad/s", "more than 0")
	}
	share := (omega[2] - omega[0]) / omega[1]
	if !valid.Finite(share) {
		return 0, outOfRange("speed", omega[1], "rad/s", "one beside which friction is of a size")
	}
	return share, nil
}

// Effort returns the mean force in N that the sleeve exerts while it moves after
// a sudden small rise of speed by a share c, with the balls at first at a radius
// in m, and its lift in m, up to a largest radius at which the search ends. Their
// product is the governor's power in J.
//
// By the textbooks' definition, to first order in c: the force that holds
// the sleeve at the new speed is 2 c times what gravity and springs put on it;
// the sleeve, let go, exerts it at first and none when it has come to its new
// place, so half of it on average.
func (g Governor) Effort(radius, c, largest float64) (force, lift float64, err error) {
	if !(c > 0) || !valid.Finite(c) {
		return 0, 0, outOfRange("rise of speed", c, "", "a finite share above 0")
	}
	omega, err := g.SpeedAtRadius(radius, 0)
	if err != nil {
		return 0, 0, err
	}
	p, err := g.at(g.Linkage.coordinate(radius))
	if err != nil {
		return 0, 0, err
	}
	force = c * 2 * g.BallMass * omega * omega * p.r.v * p.r.d1 / p.s.d1
	if !valid.Finite(force) {
		return 0, 0, outOfRange("effort", force, "N", "a finite number: the sleeve must move with the balls")
	}
	lift, err = g.rise(radius, largest, omega*(1+c))
	return force, lift, err
}

// rise returns the lift of the sleeve from a radius to the balance at a speed.
func (g Governor) rise(radius, largest, omega float64) (float64, error) {
	if !valid.Finite(omega) {
		return 0, outOfRange("speed after the rise", omega, "rad/s", "a finite number")
	}
	g.Friction = 0
	curve, err := g.curve(radius, largest)
	if err != nil {
		return 0, err
	}
	lift := curve.Theta(omega, flyweights.Rising)
	if lift == curve.Travel() {
		return 0, fmt.Errorf("%w: largest radius is %.6g m, valid is one beyond the balance at the higher speed", errRange, largest)
	}
	return lift, nil
}

// Line is a straight controlling force, F = Slope r + Intercept in N over the
// radius r in m: that of a spring loaded governor whose obliquity is neglected.
// It is stable if the intercept is negative, isochronous if 0, unstable if
// positive. Raising the springs' initial tension by -Intercept makes it isochronous.
type Line struct{ Slope, Intercept float64 }

// LineThrough returns the line through two radii in m and forces in N.
func LineThrough(radius1, force1, radius2, force2 float64) (Line, error) {
	if err := check(valid.In("first force", force1, "N", -maxForce, maxForce), valid.In("second force", force2, "N", -maxForce, maxForce),
		valid.In("first radius", radius1, "m", 0, maxLength), valid.In("second radius", radius2, "m", 0, maxLength)); err != nil {
		return Line{}, err
	}
	slope := (force2 - force1) / (radius2 - radius1)
	l := Line{slope, force1 - slope*radius1}
	if !valid.Finite(l.Slope, l.Intercept) {
		return Line{}, outOfRange("slope of the controlling force", slope, "N/m", "a finite number, from two different radii")
	}
	return l, nil
}

// Speed returns the speed in rad/s at which a ball of a mass in kg stands at a
// radius in m: m omega^2 r = Slope r + Intercept.
func (l Line) Speed(mass, radius float64) (float64, error) {
	u := (l.Slope + l.Intercept/radius) / mass
	if !(mass > 0 && radius > 0) || !(u >= 0) || !valid.Finite(u) {
		return 0, outOfRange("squared speed of balance", u, "rad^2/s^2", "0 or more, from mass and radius above 0")
	}
	return math.Sqrt(u), nil
}
