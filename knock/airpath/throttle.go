package airpath

import (
	"math"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/springs/valid"
)

// Throttle is one or more like butterfly plates on a common shaft. Angles are in
// rad from the plane square to the bore's axis. The zero value is refused.
type Throttle struct {
	Bore      float64 // m, 1e-3 to 1
	Shaft     float64 // m, diameter of the throttle's shaft, 0 to 0.9 of Bore
	Closed    float64 // rad, angle at which the plate meets the bore, 0 to 1.5
	Plates    int     // plates that open together; 0 counts as 1
	Discharge float64 // discharge coefficient of the plate's opening, 0.01 to 1; about 0.8 (common practice, no source)
	Bypass    float64 // m^2, effective area of the idle air that passes the closed plate, >= 0
	// Measured takes the flow law that was fitted to one engine, [MeasuredRatio], in
	// place of the nozzle law of air.Gas.Flow, which is choked below a ratio of 0.528.
	Measured bool
}

// check refuses sizes outside the ranges stated at the fields.
func (th Throttle) check() error {
	return valid.Check(errRange,
		valid.In("throttle bore", th.Bore, "m", 1e-3, 1),
		valid.In("throttle shaft", th.Shaft, "m", 0, 0.9*th.Bore),
		valid.In("closed angle", th.Closed, "rad", 0, 1.5),
		valid.In("throttle plates", float64(th.Plates), "", 0, 16),
		valid.In("discharge coefficient", th.Discharge, "", 0.01, 1),
		valid.In("idle bypass", th.Bypass, "m^2", 0, 1),
	)
}

// Area returns the open area in m^2 of all plates at an angle in rad, Closed to
// pi/2, seen along the bore: the bore less the larger of the plate's ellipse and
// the shaft. Without a shaft it is pi/4 D^2 (1 - cos angle/cos Closed). Source:
// Harrington and Bolt, SAE 700082 (1970), used by Heywood (1988), chapter 7; the
// closed form read in a public program; a test counts the shadow anew.
func (th Throttle) Area(angle float64) (float64, error) {
	if err := th.check(); err != nil {
		return 0, err
	}
	if err := th.checkAngle(angle); err != nil {
		return 0, err
	}
	return th.area(angle), nil
}

func (th Throttle) checkAngle(angle float64) error {
	return valid.Check(errRange, valid.In("throttle angle", angle, "rad", th.Closed, math.Pi/2))
}

// area integrates the shadow in quarters. Along the shaft's direction u the bore
// reaches to sqrt(R^2-u^2) from the shaft's axis, the plate's edge to c times
// that, and the shaft to a half of its diameter; what is open lies between the
// bore and the farther of the two.
func (th Throttle) area(angle float64) float64 {
	n := math.Max(1, float64(th.Plates))
	c := math.Min(1, math.Cos(angle)/math.Cos(th.Closed)) // the ellipse's short axis over its long one
	r, a := th.Bore/2, th.Shaft/2
	// quarter(u) is the integral of sqrt(r^2-u^2) from 0 to u.
	quarter := func(u float64) float64 { return (u*math.Sqrt(r*r-u*u) + r*r*math.Asin(u/r)) / 2 }
	bore := math.Sqrt(r*r - a*a) // where the bore passes under the shaft's edge
	if c*r <= a {
		return n * 4 * (quarter(bore) - a*bore) // the plate hides behind its shaft
	}
	edge := math.Sqrt(r*r - a*a/(c*c)) // where the plate's edge passes under the shaft's
	return n * 4 * (quarter(bore) - c*quarter(edge) - a*(bore-edge))
}

// flow is the air in kg/s that passes plates and bypass at an angle in rad from the
// ambient air to a manifold at p (Pa). The air filter's and the venturi's loss is
// left out.
func (th Throttle) flow(angle float64, a air.Ambient, p float64) float64 {
	cda := th.Discharge*th.area(angle) + th.Bypass
	if th.Measured {
		return air.Through(cda, a.Pressure, 0, a.Temperature) * measuredRatio(p/a.Pressure)
	}
	return air.Through(cda, a.Pressure, p, a.Temperature)
}

// MeasuredRatio returns the flow past a throttle plate as a share of the choked
// flow, at the pressure ratio r of manifold over ambient (0 to 1), as fitted by
// Hendricks and Sorenson (SAE 900616, 1990; constants from memory) to one engine:
//
//	beta2 = sqrt(r^0.4404 - r^2.3143) / 0.7404 for r >= 0.4125, else 1
//
// up to 10 per cent less than by the nozzle law near a ratio of one.
// The last tenth of a per cent before r = 1 is straight, as in air.Gas.Flow.
func MeasuredRatio(r float64) (float64, error) {
	if err := valid.Check(errRange, valid.In("pressure ratio", r, "", 0, 1)); err != nil {
		return 0, err
	}
	return measuredRatio(r), nil
}

// laminar is the pressure ratio above which the flow is taken as proportional to the
// pressure difference, as in air.Gas.Flow.
const laminar = 0.999

func measuredRatio(r float64) float64 {
	switch {
	case r < 0.4125:
		return 1
	case r > laminar:
		return measuredEdge * (1 - r) / (1 - laminar)
	}
	return beta2(r)
}

func beta2(r float64) float64 {
	return math.Sqrt(math.Pow(r, 0.4404)-math.Pow(r, 2.3143)) / 0.7404
}

// measuredEdge is where the straight end begins.
var measuredEdge = beta2(laminar)

// Opening returns the throttle angle in rad at which the air, at an effective
// area in m^2 (discharge coefficient included) needed for plates and bypass
// together, just passes; the inverse of [Throttle.Area]. It refuses an area
// below the bypass or above the wide-open throttle.
func (th Throttle) Opening(effective float64) (float64, error) {
	if err := th.check(); err != nil {
		return 0, err
	}
	most := th.Discharge*th.area(math.Pi/2) + th.Bypass
	if err := valid.Check(errRange, valid.In("effective throttle area", effective, "m^2", th.Bypass, most)); err != nil {
		return 0, err
	}
	return balance(th.Closed, math.Pi/2, func(angle float64) float64 {
		return effective - th.Bypass - th.Discharge*th.area(angle)
	})
}
