package vacuum

import (
	"fmt"
	"math"
)

// InchOfMercury is the conventional inch of mercury, 3386.389 Pa exactly as
// tabulated (NIST Special Publication 811, 2008, appendix B.8: "inch of mercury,
// conventional"). Multiply a gauge reading in inHg by it.
const InchOfMercury = 3386.389

// MostVacuum is the deepest vacuum that this package accepts, in Pa: more than
// the whole pressure of the standard air at 1000 m below the sea. A reading above
// it is a mistake of unit.
const MostVacuum = 115e3

// tilted is the largest angle of arm and rod from square that is accepted, rad.
const tilted = 1.5

// Unit is a vacuum advance unit at work on its plate. The zero value is not a
// unit: [Unit.Check] refuses it.
type Unit struct {
	Area    float64 // m^2, effective area of the diaphragm, > 0; see FlatArea and ConvolutedArea
	Rate    float64 // N/m, of the return spring along the rod, > 0
	Preload float64 // N, spring force on the rod at rest, >= 0
	Travel  float64 // m of rod from rest to the limiter, > 0
	Stroke  float64 // m of rod that diaphragm and housing allow; 0 = not known. A limiter beyond it is refused

	ArmRadius float64 // m from the shaft's axis to the pin that the rod pulls, > 0
	ArmAngle  float64 // rad at rest from the position square to the diaphragm's axis; negative = the pin still moves towards square
	RodLength float64 // m from the diaphragm's centre to the pin; 0 = so long that its tilt does not count
	RodTilt   float64 // rad between rod and diaphragm's axis at rest, positive where the diaphragm's axis passes nearer to the shaft than the pin stands; used with RodLength

	Friction float64 // N, dry friction of plate, rod and seal referred to the rod, >= 0

	// Nominal says that only the law is known, vacuum against angle: lengths, area and
	// forces are made to fit it, and nothing is to be set in mm or turns by them.
	Nominal bool
}

// Check refuses a unit whose sizes are not positive, whose limiter lies beyond
// the stroke, or whose arm would be pulled through its dead centre before the
// limiter ends the travel. The error wraps [valid.ErrRange] and names the field.
func (u Unit) Check() error {
	err := check(
		size("effective area", u.Area, "m^2", 1),
		size("spring rate", u.Rate, "N/m", 1e8),
		upTo("preload", u.Preload, "N", 1e6),
		size("limiter travel", u.Travel, "m", 1),
		upTo("stroke", u.Stroke, "m", 1),
		size("arm radius", u.ArmRadius, "m", 1),
		within("arm angle", u.ArmAngle, "rad", -tilted, tilted),
		upTo("rod length", u.RodLength, "m", 1000),
		within("rod tilt", u.RodTilt, "rad", -tilted, tilted),
		upTo("friction", u.Friction, "N", 1e6),
	)
	if err != nil {
		return err
	}
	if u.Stroke > 0 && u.Travel > u.Stroke {
		return refuse("limiter travel", u.Travel, "m", fmt.Sprintf("at most the stroke of %.6g m", u.Stroke))
	}
	reach, err := u.reach()
	if err != nil {
		return err
	}
	if !(u.Travel < reach) {
		return refuse("limiter travel", u.Travel, "m", fmt.Sprintf("less than %.6g m, where the arm of %.6g m meets its dead centre", reach, u.ArmRadius))
	}
	return nil
}

// Advance returns the rotation of the plate, which is the advance in rad at the
// distributor shaft, under a steady vacuum at the port (Pa, 0 to [MostVacuum])
// that has risen to its value. It is 0 up to [Unit.Onset] and constant from
// [Unit.Full]. It refuses a unit that does not pass [Unit.Check] and a vacuum
// outside its range.
func (u Unit) Advance(vacuum float64) (theta float64, err error) {
	return u.steady(vacuum, pulling)
}

// Retreat returns the same as [Unit.Advance] for a vacuum that has fallen to its
// value from a full pull: friction then holds the plate back, so the advance is
// larger by up to 2 Friction/Rate of rod travel.
func (u Unit) Retreat(vacuum float64) (theta float64, err error) {
	return u.steady(vacuum, releasing)
}

func (u Unit) steady(vacuum float64, dir direction) (float64, error) {
	if err := u.Check(); err != nil {
		return 0, err
	}
	if err := check(within("vacuum", vacuum, "Pa", 0, MostVacuum)); err != nil {
		return 0, err
	}
	return u.angle(u.rod(vacuum, dir)), nil
}

// rod is the travel in m under a vacuum in Pa, between rest and the limiter.
func (u Unit) rod(vacuum float64, dir direction) float64 {
	x := (vacuum*u.Area - float64(dir)*u.Friction - u.Preload) / u.Rate
	return math.Max(0, math.Min(u.Travel, x))
}

// Onset returns the vacuum in Pa at which the rod begins to move:
// (Preload + Friction) / Area. It may be more than any atmosphere offers.
func (u Unit) Onset() float64 { return u.vacuum(0, pulling) }

// Full returns the vacuum in Pa at which the rod meets the limiter:
// (Preload + Rate Travel + Friction) / Area. It may be more than any atmosphere
// offers; the limiter is then never reached.
func (u Unit) Full() float64 { return u.vacuum(u.Travel, pulling) }

// Most returns the rotation of the plate at the limiter, rad at the distributor
// shaft; 0 of a unit that does not pass [Unit.Check], as [Unit.Onset] and
// [Unit.Full] are.
func (u Unit) Most() float64 {
	if u.Check() != nil {
		return 0
	}
	return u.angle(u.Travel)
}

// vacuum is what balances the rod at a travel x in m, rest to limiter, while it
// moves in a direction, in Pa. It can be negative on the way back: then friction
// keeps the plate pulled with no vacuum at all, which [Unit.Stuck] reports.
func (u Unit) vacuum(x float64, dir direction) float64 {
	if u.Check() != nil {
		return 0
	}
	balance := (u.Preload + u.Rate*x + float64(dir)*u.Friction) / u.Area
	return math.Max(-math.MaxFloat64, math.Min(balance, math.MaxFloat64)) // an area of next to nothing
}
