package bodies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Swing is how a weight moves on its plate: about a pivot, one way round. It
// turns bodies, holes and slugs, all given in the plate frame at rest, into
// centrifugal moments and back.
type Swing struct {
	Pivot     r2.Vec // m, from the shaft axis; not on the axis
	Clockwise bool   // sense of a swing phi > 0; false is counter-clockwise
}

// Check refuses a pivot that is not within 1000 m of the axis, or that lies on
// it: there nothing has a centrifugal moment.
func (s Swing) Check() error {
	if err := checkPoint("pivot", s.Pivot); err != nil {
		return err
	}
	return checkPositive("distance of the pivot from the axis", r2.Norm(s.Pivot), "m", 2*maxLength)
}

// Lever returns the centrifugal moment per mass and per square of the shaft
// speed, in m^2, of metal that sits at a point at rest, once the weight has
// swung by phi rad:
//
//	(1/2) dR^2/dphi = +-(x x P),   x = P + turn(phi) (at - P)
//
// the cross product of its place and the pivot's, with the sign of the swing.
// Positive metal swings the weight out; on the line through axis and pivot it
// does nothing.
func (s Swing) Lever(at r2.Vec, phi float64) float64 {
	sense := 1.0
	if s.Clockwise {
		sense = -1
	}
	now := r2.Rotate(at, sense*phi, s.Pivot)
	return sense * r2.Cross(now, s.Pivot)
}

// Moment returns the centrifugal moment of a body on its swing per square of the
// shaft speed, in kg m^2, at a swing phi rad: mass times [Swing.Lever] at its
// centre.
func (s Swing) Moment(b Body, phi float64) float64 {
	return b.Mass * s.Lever(b.Centre, phi)
}

// Change says how the moment of a weight is to be changed and where the metal
// for it goes or comes from.
type Change struct {
	Body   Body    // the weight as it is
	Phi    float64 // rad, swing at which the moment is wanted
	Moment float64 // kg m^2, wanted centrifugal moment per square of the speed
	At     r2.Vec  // m, centre of the hole or slug, in the plate frame at rest
}

// Mass returns the mass in kg to add at the place, negative to take away:
//
//	(wanted - present moment) / lever
//
// It is exact, because the moment is linear in the mass. It refuses data out of
// range, a place whose lever is nothing, and a change that would take away as
// much mass as there is.
func (s Swing) Mass(c Change) (float64, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	if err := c.Body.Check(); err != nil {
		return 0, err
	}
	if err := checkAngle("swing", c.Phi); err != nil {
		return 0, err
	}
	if err := checkPoint("place of the change", c.At); err != nil {
		return 0, err
	}
	lever := s.Lever(c.At, c.Phi)
	if reach := r2.Norm2(s.Pivot) + r2.Norm2(c.At); !(math.Abs(lever) > 1e-9*reach) {
		return 0, outOfRange("lever at the place of the change", lever, "m^2", "a place off the line through axis and pivot")
	}
	mass := (c.Moment - s.Moment(c.Body, c.Phi)) / lever
	if !(mass > -c.Body.Mass && mass <= maxMass) {
		return 0, outOfRange("mass to add", mass, "kg", fmt.Sprintf("more than -%.6g kg, all there is", c.Body.Mass))
	}
	return mass, nil
}

// DrillDiameter returns the diameter in m of the round hole to drill square to
// the plate, of a depth in m, in metal of a density in kg/m^3, 0 where nothing
// is to be drilled. It refuses what [Swing.Mass] refuses, and a change that
// needs metal added there.
func (s Swing) DrillDiameter(c Change, depth, density float64) (float64, error) {
	if err := checkPositive("depth of the hole", depth, "m", maxLength); err != nil {
		return 0, err
	}
	mass, err := s.removed(c, density)
	if err != nil {
		return 0, err
	}
	return math.Sqrt(4 * mass / (math.Pi * density * depth)), nil
}

// DrillDepth returns the depth in m of the round hole of a diameter in m, as for
// [Swing.DrillDiameter].
func (s Swing) DrillDepth(c Change, diameter, density float64) (float64, error) {
	if err := checkPositive("diameter of the hole", diameter, "m", maxLength); err != nil {
		return 0, err
	}
	mass, err := s.removed(c, density)
	if err != nil {
		return 0, err
	}
	return 4 * mass / (math.Pi * density * diameter * diameter), nil
}

func (s Swing) removed(c Change, density float64) (float64, error) {
	if err := checkPositive("density", density, "kg/m^3", maxDensity); err != nil {
		return 0, err
	}
	mass, err := s.Mass(c)
	if err != nil {
		return 0, err
	}
	if mass > 0 {
		return 0, outOfRange("mass to drill away", -mass, "kg", "0 or more: here metal must be added, or drill on the other side of the line through axis and pivot")
	}
	return math.Abs(mass), nil
}

// Slug returns the round body of a diameter and a length in m, standing square
// to the plate with its centre at a point, of a density in kg/m^3: what a drill
// takes away, or a plug adds. The density added by a plug that fills a hole is
// its own; the hole is taken away with the plate's. All three must be positive.
func Slug(at r2.Vec, diameter, length, density float64) (Body, error) {
	if err := checkPositive("diameter", diameter, "m", maxLength); err != nil {
		return Body{}, err
	}
	if err := checkPoint("centre of the slug", at); err != nil {
		return Body{}, err
	}
	if err := checkPositive("length", length, "m", maxLength); err != nil {
		return Body{}, err
	}
	if err := checkPositive("density", density, "kg/m^3", maxDensity); err != nil {
		return Body{}, err
	}
	mass := density * length * math.Pi * diameter * diameter / 4
	return Body{Mass: mass, Centre: at, Inertia: mass * diameter * diameter / 8}, nil
}

// Swung returns the body that a scale and a stopwatch see: mass in kg, centre
// in m, and the inertia that belongs to the period in s of small swings about a
// pivot in m with the plane upright,
//
//	T = 2 pi sqrt((I + m l^2) / (m g l)),   l = |centre - pivot|
//
// with g in m/s^2 (the physical pendulum; 9.80665 m/s^2 is the standard value).
// It refuses a period shorter than a point mass would have.
func Swung(mass float64, centre, pivot r2.Vec, period, g float64) (Body, error) {
	if err := checkPositive("mass", mass, "kg", maxMass); err != nil {
		return Body{}, err
	}
	if err := checkPoint("centre of mass", centre); err != nil {
		return Body{}, err
	}
	if err := checkPoint("pivot", pivot); err != nil {
		return Body{}, err
	}
	l := r2.Norm(r2.Sub(centre, pivot))
	if err := checkPositive("distance of centre and pivot", l, "m", maxLength); err != nil {
		return Body{}, err
	}
	if err := checkPositive("period", period, "s", 1e4); err != nil {
		return Body{}, err
	}
	if err := checkPositive("gravity", g, "m/s^2", 100); err != nil {
		return Body{}, err
	}
	turn := period / (2 * math.Pi)
	inertia := mass * l * (g*turn*turn - l)
	if !(inertia >= 0) {
		return Body{}, outOfRange("period", period, "s", fmt.Sprintf("at least %.6g s, that of a point mass", 2*math.Pi*math.Sqrt(l/g)))
	}
	return Body{Mass: mass, Centre: centre, Inertia: inertia}, nil
}
