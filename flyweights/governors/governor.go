package governors

import (
	"fmt"
	"math"
	"reflect"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// standardGravity is 9.80665 m/s^2 exactly (3rd General Conference on Weights
// and Measures, 1901).
const standardGravity = 9.80665

// Spring is a spring of a governor: its force in N at q = 0, or at the lift or
// radius that From names, and its rate in N/m.
type Spring struct {
	Force, Rate float64
	From        float64 // m: lift of the sleeve, or radius of the balls, at which Force acts
}

// at returns the force at a place.
func (s Spring) at(x jet) jet {
	return x.times(s.Rate).plus(constant(s.Force - s.Rate*s.From))
}

func (s Spring) check(name string) error {
	return check(valid.In(name+" force", s.Force, "N", -maxForce, maxForce), valid.In(name+" rate", s.Rate, "N/m", -maxForce, maxForce),
		valid.In(name+" place", s.From, "m", -maxLength, maxLength))
}

// Governor is two balls on a linkage. The zero value is refused.
type Governor struct {
	Linkage    Linkage
	BallMass   float64 // kg, > 0: of one ball
	SleeveMass float64 // kg, >= 0
	Sleeve     Spring  // presses the sleeve down; From is a lift s as the linkage counts it
	// Ball pulls each ball inwards; From is a radius. Two springs side by side
	// between the balls, each of rate k, as in the Wilson-Hartnell governor, pull
	// with 4 k for each metre of radius.
	Ball     Spring
	Friction float64 // N, >= 0: dry friction on the sleeve
	Gravity  float64 // m/s^2; 0 means standardGravity
}

func (g Governor) gravity() float64 {
	if g.Gravity == 0 {
		return standardGravity
	}
	return g.Gravity
}

// check refuses values out of range.
func (g Governor) check() error {
	if g.Linkage == nil {
		return fmt.Errorf("%w: no linkage, valid is Arms, Proell or Crank", errRange)
	}
	if v := reflect.ValueOf(g.Linkage); v.Kind() == reflect.Pointer && v.IsNil() {
		return fmt.Errorf("%w: linkage is a nil %T, valid is Arms, Proell or Crank", errRange, g.Linkage)
	}
	if err := g.Linkage.check(); err != nil {
		return err
	}
	if err := check(valid.Above("ball mass", g.BallMass, "kg", 0, maxMass), valid.In("sleeve mass", g.SleeveMass, "kg", 0, maxMass),
		valid.In("friction", g.Friction, "N", 0, maxForce), valid.Above("gravity", g.gravity(), "m/s^2", 0, 1e6)); err != nil {
		return err
	}
	if err := g.Sleeve.check("sleeve spring"); err != nil {
		return err
	}
	return g.Ball.check("ball spring")
}

// place is a governor at one coordinate.
type place struct{ r, z, s jet }

// at returns the place at q.
func (g Governor) at(q float64) (place, error) {
	if err := g.check(); err != nil {
		return place{}, err
	}
	if !valid.Finite(q) {
		return place{}, outOfRange("coordinate", q, "rad", "within reach of the linkage")
	}
	r, z, s := g.Linkage.at(along(q))
	p := place{r, z, s}
	for _, x := range []jet{r, z, s} {
		if !valid.Finite(x.v, x.d1, x.d2) {
			return place{}, outOfRange("coordinate", q, "rad", "within reach of the linkage")
		}
	}
	if !(p.r.v*p.r.d1 > 0) {
		return place{}, outOfRange("balls' way outwards per coordinate", p.r.d1, "m/rad", "more than 0, at a radius above 0")
	}
	return p, nil
}

// inwards is the moment on q of weights and springs, without friction.
func (g Governor) inwards(p place) float64 {
	return 2*g.BallMass*g.gravity()*p.z.d1 +
		(g.SleeveMass*g.gravity()+g.Sleeve.at(p.s).v)*p.s.d1 +
		2*g.Ball.at(p.r).v*p.r.d1
}

// speed returns the speed in rad/s at which the balls stand at q, with the share
// of the sleeve's friction that holds the sleeve down: 0 for none, 1 for a
// sleeve about to rise, -1 for one about to sink.
func (g Governor) speed(q, share float64) (float64, error) {
	p, err := g.at(q)
	if err != nil {
		return 0, err
	}
	if !(math.Abs(share) <= 1) {
		return 0, outOfRange("share of the friction", share, "", "-1 to 1")
	}
	u := (g.inwards(p) + share*g.Friction*math.Abs(p.s.d1)) / (2 * g.BallMass * p.r.v * p.r.d1)
	if !(u >= 0) || !valid.Finite(u) {
		return 0, outOfRange("squared speed of balance", u, "rad^2/s^2", "0 or more: else no speed holds the balls out")
	}
	return math.Sqrt(u), nil
}

// SpeedAtRadius returns the speed in rad/s at which the balls stand at a radius in
// m (with [Proell] the joints of the arms), with the share of the sleeve's friction that holds the sleeve down: 0 for
// none, 1 for a sleeve about to rise, -1 for one about to sink.
func (g Governor) SpeedAtRadius(radius, share float64) (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	q := g.Linkage.coordinate(radius)
	if !valid.Finite(q) {
		return 0, outOfRange("ball radius", radius, "m", "within reach of the linkage")
	}
	return g.speed(q, share)
}

// Lift returns how far in m the sleeve rises as the balls go from one radius to
// another.
func (g Governor) Lift(from, to float64) (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	a, err := g.at(g.Linkage.coordinate(from))
	if err != nil {
		return 0, err
	}
	b, err := g.at(g.Linkage.coordinate(to))
	if err != nil {
		return 0, err
	}
	return b.s.v - a.s.v, nil
}

// SleeveForce returns the thrust in N on the sleeve, beside its weight, its
// spring and the ball springs, that holds the governor in balance with the balls
// at a radius in m at omega rad/s: the load that a spring must have, or a
// friction that must have been overcome.
func (g Governor) SleeveForce(radius, omega float64) (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	if err := check(valid.In("speed", omega, "rad/s", -maxSpeed, maxSpeed)); err != nil {
		return 0, err
	}
	p, err := g.at(g.Linkage.coordinate(radius))
	if err != nil {
		return 0, err
	}
	f := (2*g.BallMass*omega*omega*p.r.v*p.r.d1 - g.inwards(p)) / p.s.d1
	if !valid.Finite(f) {
		return 0, outOfRange("sleeve force", f, "N", "a finite number: the sleeve must move with the balls")
	}
	return f, nil
}

// SleeveSpring returns the sleeve spring that holds the balls at two radii in m
// at two speeds in rad/s, with its force given at the first. The governor's own
// sleeve spring must be zero. It is the isochronous spring if the speeds are
// equal.
func (g Governor) SleeveSpring(radius1, omega1, radius2, omega2 float64) (Spring, error) {
	if g.Sleeve != (Spring{}) {
		return Spring{}, fmt.Errorf("%w: sleeve spring is set already, valid is none", errRange)
	}
	f1, err := g.SleeveForce(radius1, omega1)
	if err != nil {
		return Spring{}, err
	}
	f2, err := g.SleeveForce(radius2, omega2)
	if err != nil {
		return Spring{}, err
	}
	lift, err := g.Lift(radius1, radius2)
	if err != nil {
		return Spring{}, err
	}
	if lift == 0 {
		return Spring{}, outOfRange("lift between the radii", 0, "m", "not 0")
	}
	p, err := g.at(g.Linkage.coordinate(radius1))
	if err != nil {
		return Spring{}, err
	}
	s := Spring{Force: f1, Rate: (f2 - f1) / lift, From: p.s.v}
	return s, s.check("sleeve spring")
}

// ControllingForce returns the force in N on one ball towards the axis that keeps
// it in place, m omega^2 r of the balance without friction. radius in m is where
// [Governor.SpeedAtRadius] counts it, the joint's for [Proell]; r is the ball's
// own radius, which differs from it as soon as the extension leans. A governor is
// stable where the force grows faster than r, isochronous where as fast.
func (g Governor) ControllingForce(radius float64) (float64, error) {
	omega, err := g.SpeedAtRadius(radius, 0)
	if err != nil {
		return 0, err
	}
	p, err := g.at(g.Linkage.coordinate(radius))
	if err != nil {
		return 0, err
	}
	f := g.BallMass * omega * omega * p.r.v
	if !valid.Finite(f) {
		return 0, outOfRange("controlling force", f, "N", "a finite number")
	}
	return f, nil
}

// UpperArmTension returns the pull in N in one upper arm of [Arms] or [Proell]
// with the joint at a radius in m: it carries, by its upright part, a ball and
// half of what rests on the sleeve.
func (g Governor) UpperArmTension(radius float64) (float64, error) {
	if err := g.check(); err != nil {
		return 0, err
	}
	if _, crank := g.Linkage.(Crank); crank {
		return 0, fmt.Errorf("%w: linkage is Crank, valid is one with arms", errRange)
	}
	q := g.Linkage.coordinate(radius)
	p, err := g.at(q)
	if err != nil {
		return 0, err
	}
	f := (g.BallMass*g.gravity() + (g.SleeveMass*g.gravity()+g.Sleeve.at(p.s).v)/2) / math.Cos(q)
	if !valid.Finite(f) {
		return 0, outOfRange("upper arm's pull", f, "N", "a finite number: the arm must not lie level")
	}
	return f, nil
}

// balance is the governor on a coordinate phi = q - from, with the lift as output,
// for [flyweights.Trace].
type balance struct {
	Governor
	from, lift float64
}

// moments returns the balance at phi; one out of reach has no weights, which
// Trace refuses.
func (b balance) moments(phi float64) flyweights.Moments {
	p, err := b.at(b.from + phi)
	if err != nil {
		return flyweights.Moments{}
	}
	half := b.BallMass * p.r.v * p.r.d1 * 2
	load, ball := b.Sleeve.at(p.s), b.Ball.at(p.r)
	weight := b.SleeveMass*b.gravity() + load.v
	return flyweights.Moments{
		Weights:  half,
		DWeights: 2 * b.BallMass * (p.r.d1*p.r.d1 + p.r.v*p.r.d2),
		Restore:  b.inwards(p),
		DRestore: 2*b.BallMass*b.gravity()*p.z.d2 +
			weight*p.s.d2 + load.d1*p.s.d1 +
			2*(ball.v*p.r.d2+ball.d1*p.r.d1),
		Friction: b.Friction * p.s.d1, DFriction: b.Friction * p.s.d2,
		Theta: p.s.v - b.lift, DTheta: p.s.d1,
	}
}

// curve returns lift in m over speed between two radii in m, rising and falling,
// in the manner of [flyweights.Mechanism.Curve]: where the governor is unstable
// it snaps, and its events say so.
func (g Governor) curve(radius1, radius2 float64) (*flyweights.Curve, error) {
	if err := g.check(); err != nil {
		return nil, err
	}
	from, to := g.Linkage.coordinate(radius1), g.Linkage.coordinate(radius2)
	p, err := g.at(from)
	if err != nil {
		return nil, err
	}
	if !(to > from) {
		return nil, outOfRange("second radius", radius2, "m", fmt.Sprintf("more than the first, %.6g m, and within reach", radius1))
	}
	c, err := flyweights.Trace(nil, to-from, balance{g, from, p.s.v}.moments)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errRange, err)
	}
	return c, nil
}
