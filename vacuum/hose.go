package vacuum

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/air"
)

// Hose leads from the source to the unit's chamber: a restriction, the air
// it has to draw off, and what leaks in through a torn diaphragm. The zero value
// is refused.
type Hose struct {
	Restriction float64 // m^2, effective area of the narrowest place, > 0; a 0.5 mm drilling with 0.7 is 1.4e-7
	Volume      float64 // m^3 of hose and chamber with the diaphragm at rest, > the volume that its travel sweeps
	Leak        float64 // m^2, effective area of the hole in the diaphragm, >= 0
}

// check refuses sizes that are not positive, a volume that the unit's travel
// would sweep to nothing, and a leak not smaller than the restriction.
func (h Hose) check(u Unit) error {
	if err := u.Check(); err != nil {
		return err
	}
	swept := u.Area * u.Travel
	err := check(
		size("restriction", h.Restriction, "m^2", 0.01),
		size("hose volume", h.Volume, "m^3", 1),
		upTo("leak", h.Leak, "m^2", 1),
	)
	if err != nil {
		return err
	}
	if h.Volume <= swept {
		return refuse("hose volume", h.Volume, "m^3", fmt.Sprintf("more than the %.6g m^3 that the diaphragm sweeps", swept))
	}
	if h.Leak >= h.Restriction {
		return refuse("leak", h.Leak, "m^2", fmt.Sprintf("below the restriction of %.6g m^2: leak larger than supply", h.Restriction))
	}
	return nil
}

// Chamber returns the steady pressure in Pa in the unit's chamber when the source
// is at source (Pa absolute, at most ambient): without a leak that of the source,
// else where leak and restriction pass the same flow (air.Between).
func (h Hose) Chamber(u Unit, a air.Ambient, source float64) (float64, error) {
	if err := h.check(u); err != nil {
		return 0, err
	}
	if _, err := a.Vacuum(source); err != nil {
		return 0, err
	}
	return h.chamber(a, source), nil
}

func (h Hose) chamber(a air.Ambient, source float64) float64 {
	return air.Between(h.Leak, a.Pressure, h.Restriction, source)
}

// air mass in the chamber, kg, at a chamber pressure and with the rod at x.
func (h Hose) mass(u Unit, a air.Ambient, p, x float64) float64 {
	return p * (h.Volume - u.Area*x) / (air.Dry.R * a.Temperature)
}

// pressure is the inverse of mass where the rod follows the pressure from a
// travel x0 at which friction may hold it: p (V - A x(p)) = m R T, in which x is
// constant or falls in a straight line with p. The product rises with p, so one
// of the two ends or one line holds the answer.
func (h Hose) pressure(u Unit, a air.Ambient, m, x0 float64) (p, x float64) {
	mrt := m * air.Dry.R * a.Temperature
	held := func(x float64) float64 { return mrt / (h.Volume - u.Area*x) }
	follow := func(p float64) float64 { return u.follow(x0, a.Pressure-p) } // travel that the rod takes at p
	if p = held(x0); follow(p) == x0 {
		return p, x0
	}
	dir, end := pulling, u.Travel
	if follow(p) < x0 {
		dir, end = releasing, 0
	}
	if p = held(end); follow(p) == end {
		return p, end
	}
	// On the line x = (A(pa-p) - F - F0)/k: p (V - A x) = m R T is quadratic in p,
	// b p + c p^2 = m R T with
	b := h.Volume - u.Area/u.Rate*(u.Area*a.Pressure-float64(dir)*u.Friction-u.Preload)
	c := u.Area * u.Area / u.Rate
	p = 2 * mrt / (b + math.Sqrt(b*b+4*c*mrt))
	return p, follow(p)
}
