package quantity

import (
	"math"

	"example.org/bobweight/advance"
)

// Rotation is an angle or a speed of rotation on a named shaft. It is used through
// its aliases [Angle] and [Speed]:
//
//	a := quantity.Angle{Value: 12, Shaft: quantity.Crank}
//
// The zero value names no shaft and is refused by every method that returns an
// error.
type Rotation[K rotation] struct {
	Value float64 // degrees, or revolutions per minute, of Shaft
	Shaft Shaft
}

type (
	// Angle is in degrees of its shaft; before top centre and with the direction of
	// rotation it is positive.
	Angle = Rotation[angle]
	// Speed is in revolutions of its shaft per minute, 0 or more.
	Speed = Rotation[speed]
)

// rotation tells an angle from a speed: a type without data.
type rotation interface{ form() *form }

type (
	angle struct{}
	speed struct{}
)

func (angle) form() *form { return &angleForm }
func (speed) form() *form { return &speedForm }

// form is that of the kind.
func (r Rotation[K]) form() *form {
	var k K
	return k.form()
}

// Crank returns the angle in crank degrees, or the speed as engine speed in crank
// revolutions per minute. It refuses a value without a shaft, a value that is not
// finite, a negative speed and an impossible drive.
func (r Rotation[K]) Crank(d advance.Drive) (float64, error) {
	return r.form().crank(r.Value, r.Shaft, d)
}

// Dist returns the angle of the distributor shaft in rad, or its speed in rad/s: the
// units of the packages below advance. It refuses what Crank refuses.
func (r Rotation[K]) Dist(d advance.Drive) (float64, error) {
	x, err := r.Crank(d)
	if err != nil {
		return 0, err
	}
	return r.form().dist(d, x), nil
}

// UnmarshalText reads "12 deg crank" or "1300 rpm dist" (also rad, rad/s and their
// like). It refuses a number without a unit, a value without its shaft, and other
// units.
func (r *Rotation[K]) UnmarshalText(text []byte) error {
	if r == nil {
		return errNil
	}
	v, s, err := r.form().read(string(text))
	if err == nil {
		*r = Rotation[K]{v, s}
	}
	return err
}

// String returns the value to four digits, "12 deg crank".
func (r Rotation[K]) String() string { return r.form().short(r.Value, r.Shaft) }

// form is what angles and speeds of rotation have in common.
type form struct {
	name   string
	unit   string // the unit of Value
	dim    Dim
	units  string // for messages
	signed bool
	dist   func(d advance.Drive, crank float64) float64 // to rad or rad/s of the distributor
}

var (
	angleForm = form{"shaft angle", "deg", dimAngle, "deg crank, deg dist, rad crank, rad dist", true, advance.Drive.ShaftRadians}
	speedForm = form{"shaft speed", "rpm", dimAngularSpeed, "rpm crank, rpm dist, rad/s crank, rad/s dist", false, advance.Drive.Omega}
)

// read returns the value in the form's own unit. A text already in that unit
// keeps its number to the bit.
func (f *form) read(text string) (float64, Shaft, error) {
	number, unit, err := split(text)
	if err != nil {
		return 0, 0, err
	}
	if unit == "" {
		return 0, 0, refuse(errUnit, "%s has no unit; %s needs one of %s", quote(text), f.name, f.units)
	}
	q, err := assemble(text, number, unit)
	switch {
	case err != nil:
		return 0, 0, err
	case q.Dim != f.dim:
		return 0, 0, refuse(errUnit, "%s is %s; %s needs one of %s", quote(text), q.Dim.kind(), f.name, f.units)
	case q.Shaft == NoShaft:
		return 0, 0, refuse(errShaft, "%s does not say on which shaft; %s needs one of %s", quote(text), f.name, f.units)
	case q.SI < 0 && !f.signed:
		return 0, 0, refuse(errRange, "%s is negative; %s is 0 or more", quote(text), f.name)
	}
	v, err := q.In(f.unit)
	if bare, _ := shaftOf(unit); bare == f.unit {
		v, _ = number.Float64()
	}
	return v, q.Shaft, err
}

func (f *form) check(v float64, s Shaft) error {
	switch {
	case s != Crank && s != Distributor:
		return refuse(errShaft, "%s of %g %s does not say on which shaft, crank or dist", f.name, v, f.unit)
	case math.IsNaN(v) || math.IsInf(v, 0):
		return refuse(errRange, "%s is %g %s, valid is a finite number", f.name, v, f.unit)
	case v < 0 && !f.signed:
		return refuse(errRange, "%s is %g %s, valid is 0 or more", f.name, v, f.unit)
	}
	return nil
}

// crank returns the value as one of the crankshaft, in the form's unit.
func (f *form) crank(v float64, s Shaft, d advance.Drive) (float64, error) {
	if err := f.check(v, s); err != nil {
		return 0, err
	}
	if err := d.Check(); err != nil {
		return 0, err
	}
	if s == Distributor {
		v *= float64(d)
	}
	return v, f.check(v, s)
}

func (f *form) short(v float64, s Shaft) string {
	if err := f.check(v, s); err != nil {
		return "not a " + f.name
	}
	return trimmed(v, 4) + " " + f.unit + " " + s.String()
}
