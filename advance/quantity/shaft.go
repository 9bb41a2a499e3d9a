package quantity

import (
	"math"
	"strconv"

	"example.org/bobweight/advance"
)

// Angle is an angle of rotation on a named shaft; before top centre and with
// the direction of rotation it is positive. The zero value names no shaft and
// is refused by every method that returns an error.
type Angle struct {
	Value float64 // degrees of Shaft
	Shaft Shaft
}

// Speed is a speed of rotation of a named shaft, 0 or more. The zero value
// names no shaft and is refused by every method that returns an error.
type Speed struct {
	Value float64 // revolutions of Shaft per minute
	Shaft Shaft
}

// CrankAngle returns an angle of deg crank degrees.
func CrankAngle(deg float64) Angle { return Angle{deg, Crank} }

// CrankRPM returns a speed of rpm crank revolutions per minute, an engine speed.
func CrankRPM(rpm float64) Speed { return Speed{rpm, Crank} }

// Crank returns the angle in crank degrees. It refuses an angle without a
// shaft, a value that is not finite and an impossible drive.
func (a Angle) Crank(d advance.Drive) (float64, error) { return angleForm.crank(a.Value, a.Shaft, d) }

// Dist returns the angle in rad of the distributor shaft, the unit of the
// packages below advance. It refuses what Crank refuses.
func (a Angle) Dist(d advance.Drive) (float64, error) {
	deg, err := a.Crank(d)
	if err != nil {
		return 0, err
	}
	return d.ShaftRadians(deg), nil
}

// Crank returns the speed as engine speed, in crank revolutions per minute. It
// refuses a speed without a shaft, a value that is negative or not finite, and
// an impossible drive.
func (s Speed) Crank(d advance.Drive) (float64, error) { return speedForm.crank(s.Value, s.Shaft, d) }

// Dist returns the speed of the distributor shaft in rad/s, the unit of the
// packages below advance. It refuses what Crank refuses.
func (s Speed) Dist(d advance.Drive) (float64, error) {
	rpm, err := s.Crank(d)
	if err != nil {
		return 0, err
	}
	return d.Omega(rpm), nil
}

// UnmarshalText reads "12 deg crank" or "6 deg dist" (also rad, mrad, rev). It
// refuses a number without a unit, an angle without its shaft, and other units.
func (a *Angle) UnmarshalText(text []byte) error {
	v, s, err := angleForm.read(string(text))
	if err == nil {
		*a = Angle{v, s}
	}
	return err
}

// UnmarshalJSON reads a JSON string by the rules of UnmarshalText.
func (a *Angle) UnmarshalJSON(data []byte) error {
	text, err := jsonText(data, angleForm.name, angleForm.units)
	if err != nil {
		return err
	}
	return a.UnmarshalText([]byte(text))
}

// MarshalText writes the angle in degrees with its shaft, to the digits that
// read back to the same bits. It refuses an angle without a shaft.
func (a Angle) MarshalText() ([]byte, error) { return angleForm.write(a.Value, a.Shaft) }

// String returns the angle to four digits, "12 deg crank".
func (a Angle) String() string { return angleForm.short(a.Value, a.Shaft) }

// Both returns the angle on its own shaft and on the other one,
// "12 deg crank (6 deg dist)".
func (a Angle) Both(d advance.Drive) string { return angleForm.both(a.Value, a.Shaft, d) }

// UnmarshalText reads "2600 rpm crank" or "1300 rpm dist" (also rad/s, rev/s).
// It refuses a number without a unit, a speed without its shaft, and other
// units.
func (s *Speed) UnmarshalText(text []byte) error {
	v, shaft, err := speedForm.read(string(text))
	if err == nil {
		*s = Speed{v, shaft}
	}
	return err
}

// UnmarshalJSON reads a JSON string by the rules of UnmarshalText.
func (s *Speed) UnmarshalJSON(data []byte) error {
	text, err := jsonText(data, speedForm.name, speedForm.units)
	if err != nil {
		return err
	}
	return s.UnmarshalText([]byte(text))
}

// MarshalText writes the speed in rpm with its shaft, to the digits that read
// back to the same bits. It refuses a speed without a shaft.
func (s Speed) MarshalText() ([]byte, error) { return speedForm.write(s.Value, s.Shaft) }

// String returns the speed to four digits, "2600 rpm crank".
func (s Speed) String() string { return speedForm.short(s.Value, s.Shaft) }

// Both returns the speed on its own shaft and on the other one,
// "2600 rpm crank (1300 rpm dist)".
func (s Speed) Both(d advance.Drive) string { return speedForm.both(s.Value, s.Shaft, d) }

// form is what angles and speeds of rotation have in common.
type form struct {
	name   string
	unit   string // the unit of Value
	dim    Dim
	units  string // for messages
	signed bool
}

var (
	angleForm = form{"shaft angle", "deg", DimAngle, "deg crank, deg dist, rad crank, rad dist", true}
	speedForm = form{"shaft speed", "rpm", DimAngularSpeed, "rpm crank, rpm dist, rad/s crank, rad/s dist", false}
)

// read returns the value in the form's own unit. A text already in that unit
// keeps its number to the bit.
func (f form) read(text string) (float64, Shaft, error) {
	number, unit, err := split(text)
	if err != nil {
		return 0, 0, err
	}
	if unit == "" {
		return 0, 0, refuse(ErrUnit, "%s has no unit; %s needs one of %s", quote(text), f.name, f.units)
	}
	q, err := assemble(text, number, unit)
	switch {
	case err != nil:
		return 0, 0, err
	case q.Dim != f.dim:
		return 0, 0, refuse(ErrUnit, "%s is in %s; %s needs one of %s", quote(text), q.Dim, f.name, f.units)
	case q.Shaft == NoShaft:
		return 0, 0, refuse(ErrShaft, "%s does not say on which shaft; %s needs one of %s", quote(text), f.name, f.units)
	case q.SI < 0 && !f.signed:
		return 0, 0, refuse(ErrRange, "%s is negative; %s is 0 or more", quote(text), f.name)
	}
	v, err := q.In(f.unit)
	if bare, _ := shaftOf(unit); bare == f.unit {
		v, _ = number.Float64()
	}
	return v, q.Shaft, err
}

func (f form) check(v float64, s Shaft) error {
	switch {
	case s != Crank && s != Distributor:
		return refuse(ErrShaft, "%s of %g %s does not say on which shaft, crank or dist", f.name, v, f.unit)
	case math.IsNaN(v) || math.IsInf(v, 0):
		return refuse(ErrRange, "%s is %g %s, valid is a finite number", f.name, v, f.unit)
	case v < 0 && !f.signed:
		return refuse(ErrRange, "%s is %g %s, valid is 0 or more", f.name, v, f.unit)
	}
	return nil
}

// crank returns the value as one of the crankshaft, in the form's unit.
func (f form) crank(v float64, s Shaft, d advance.Drive) (float64, error) {
	if err := f.check(v, s); err != nil {
		return 0, err
	}
	if err := d.Check(); err != nil {
		return 0, err
	}
	if s == Distributor {
		v *= float64(d)
	}
	return v, nil
}

func (f form) write(v float64, s Shaft) ([]byte, error) {
	if err := f.check(v, s); err != nil {
		return nil, err
	}
	text := strconv.FormatFloat(v, 'g', -1, 64) + " " + f.unit + " " + s.String()
	if _, _, err := f.read(text); err != nil {
		return nil, err
	}
	return []byte(text), nil
}

func (f form) short(v float64, s Shaft) string {
	if err := f.check(v, s); err != nil {
		return "not a " + f.name
	}
	return trimmed(v, 4) + " " + f.unit + " " + s.String()
}

func (f form) both(v float64, s Shaft, d advance.Drive) string {
	crank, err := f.crank(v, s, d)
	if err != nil {
		return "not a " + f.name
	}
	if s == Distributor {
		return f.short(v, s) + " (" + f.short(crank, Crank) + ")"
	}
	return f.short(v, s) + " (" + f.short(crank/float64(d), Distributor) + ")"
}
