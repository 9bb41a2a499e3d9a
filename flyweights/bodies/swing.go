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

// check refuses a pivot that is not within 1000 m of the axis, or that lies on
// it: there nothing has a centrifugal moment.
func (s Swing) check() error {
	if err := checkPoint("pivot", s.Pivot); err != nil {
		return err
	}
	return checkPositive("distance of the pivot from the axis", r2.Norm(s.Pivot), "m", 2*maxLength)
}

// lever returns the centrifugal moment per mass and per square of the shaft
// speed, in m^2, of metal that sits at a point at rest, once the weight has
// swung by phi rad:
//
//	(1/2) dR^2/dphi = +-(x x P),   x = P + turn(phi) (at - P)
//
// the cross product of its place and the pivot's, with the sign of the swing.
// Positive metal swings the weight out; on the line through axis and pivot it
// does nothing.
func (s Swing) lever(at r2.Vec, phi float64) float64 {
	sense := 1.0
	if s.Clockwise {
		sense = -1
	}
	now := r2.Rotate(at, sense*phi, s.Pivot)
	return sense * r2.Cross(now, s.Pivot)
}

// Moment returns the centrifugal moment of a body on its swing per square of the
// shaft speed, in kg m^2, at a swing phi rad:
//
//	m (1/2) dR^2/dphi = +-m (x x P),   x = P + turn(phi) (centre - P)
//
// the cross product of the places of centre and pivot, with the sign of the
// swing. It refuses a pivot, body or swing out of range.
func (s Swing) Moment(b Body, phi float64) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := b.check(); err != nil {
		return 0, err
	}
	if err := checkAngle("swing", phi); err != nil {
		return 0, err
	}
	return s.moment(b, phi), nil
}

func (s Swing) moment(b Body, phi float64) float64 { return b.Mass * s.lever(b.Centre, phi) }

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
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := c.Body.check(); err != nil {
		return 0, err
	}
	if err := checkAngle("swing", c.Phi); err != nil {
		return 0, err
	}
	if err := checkPoint("place of the change", c.At); err != nil {
		return 0, err
	}
	lever := s.lever(c.At, c.Phi)
	if reach := r2.Norm2(s.Pivot) + r2.Norm2(c.At); !(math.Abs(lever) > 1e-9*reach) {
		return 0, outOfRange("lever at the place of the change", lever, "m^2", "a place off the line through axis and pivot")
	}
	mass := (c.Moment - s.moment(c.Body, c.Phi)) / lever
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
