package vacuum

import (
	"errors"
	"fmt"
	"math"
)

// ErrLeak is wrapped, beside [ErrRange], where a torn diaphragm lets in at least
// as much air as the line can draw off: the unit is to be replaced, not set.
var ErrLeak = errors.New("leak larger than supply")

// Line is the hose from the source to the unit's chamber: a restriction, the air
// it has to draw off, and what leaks in through a torn diaphragm. The zero value
// is refused.
type Line struct {
	Restriction float64 // m^2, effective area of the narrowest place, > 0; a 0.5 mm drilling with 0.7 is 1.4e-7
	Volume      float64 // m^3 of hose and chamber with the diaphragm at rest, > the volume that its travel sweeps
	Leak        float64 // m^2, effective area of the hole in the diaphragm, >= 0
}

// Check refuses sizes that are not positive, a volume that the unit's travel
// would sweep to nothing, and a leak not smaller than the restriction (wrapping
// [ErrLeak] as well).
func (l Line) Check(u Unit) error {
	if err := u.Check(); err != nil {
		return err
	}
	swept := u.Area * u.Travel
	err := check(
		size("restriction", l.Restriction, "m^2", 0.01),
		size("line volume", l.Volume, "m^3", 1),
		upTo("leak", l.Leak, "m^2", 1),
	)
	if err != nil {
		return err
	}
	if l.Volume <= swept {
		return rule("line volume", l.Volume, "m^3", fmt.Sprintf("more than the %.6g m^3 that the diaphragm sweeps", swept), false).refusal()
	}
	if l.Leak >= l.Restriction {
		return fmt.Errorf("%w: %w", ErrLeak, rule("leak", l.Leak, "m^2", fmt.Sprintf("below the restriction of %.6g m^2", l.Restriction), false).refusal())
	}
	return nil
}

// Chamber returns the steady pressure in Pa in the unit's chamber when the source
// is at source (Pa absolute, at most ambient): without a leak that of the source,
// else where leak and restriction pass the same flow ([Gas.Divider]).
func (l Line) Chamber(u Unit, air Ambient, source float64) (float64, error) {
	if err := l.Check(u); err != nil {
		return 0, err
	}
	if _, err := air.Vacuum(source); err != nil {
		return 0, err
	}
	return l.chamber(air, source), nil
}

func (l Line) chamber(air Ambient, source float64) float64 {
	return dryAir.divide(l.Leak, air.Pressure, l.Restriction, source)
}

// Lag returns the time in s in which the chamber comes to within a share of 1/e
// of a small step at its source, around a vacuum depth in Pa below the ambient
// air: the volume's capacity over the restriction's conductance, with the rod
// held. Near equal pressures the restriction passes so much more per pascal that
// the lag is shortest there; depth is the pressure difference between chamber and
// source over which the conductance is taken, 1 Pa or more and below ambient.
func (l Line) Lag(u Unit, air Ambient, depth float64) (float64, error) {
	if err := l.Check(u); err != nil {
		return 0, err
	}
	if err := air.Check(); err != nil {
		return 0, err
	}
	if err := check(rule("depth", depth, "Pa", "1 Pa or more and below ambient", depth >= 1 && depth < air.Pressure)); err != nil {
		return 0, err
	}
	flow := dryAir.flow(l.Restriction, air.Pressure, air.Temperature, air.Pressure-depth)
	return l.Volume / (Air.R * air.Temperature) * depth / flow, nil
}

// air mass in the chamber, kg, at a chamber pressure and with the rod at x.
func (l Line) mass(u Unit, air Ambient, p, x float64) float64 {
	return p * (l.Volume - u.Area*x) / (Air.R * air.Temperature)
}

// pressure is the inverse of mass where the rod follows the pressure from a
// travel x0 at which friction may hold it: p (V - A x(p)) = m R T, in which x is
// constant or falls in a straight line with p. The product rises with p, so one
// of the two ends or one line holds the answer.
func (l Line) pressure(u Unit, air Ambient, m, x0 float64) (p, x float64) {
	mrt := m * Air.R * air.Temperature
	held := func(x float64) float64 { return mrt / (l.Volume - u.Area*x) }
	follow := func(p float64) float64 { // travel that the rod takes at p, coming from x0
		v := air.Pressure - p
		return math.Max(u.rod(v, Pulling), math.Min(u.rod(v, Releasing), x0))
	}
	if p = held(x0); follow(p) == x0 {
		return p, x0
	}
	way, end := Pulling, u.Travel
	if follow(p) < x0 {
		way, end = Releasing, 0
	}
	if p = held(end); follow(p) == end {
		return p, end
	}
	// On the line x = (A(pa-p) - F - F0)/k: p (V - A x) = m R T is quadratic in p,
	// b p + c p^2 = m R T with
	b := l.Volume - u.Area/u.Rate*(u.Area*air.Pressure-float64(way)*u.Friction-u.Preload)
	c := u.Area * u.Area / u.Rate
	p = 2 * mrt / (b + math.Sqrt(b*b+4*c*mrt))
	return p, follow(p)
}
