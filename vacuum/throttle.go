package vacuum

import "math"

// FlowLaw is how the flow past the throttle plate depends on the pressure ratio.
type FlowLaw int

const (
	// Isentropic is the nozzle law of [Gas.Flow], choked below a ratio of 0.528.
	Isentropic FlowLaw = iota
	// Measured is the law that Hendricks and Sorenson, Mean Value Modelling of
	// Spark Ignition Engines (SAE 900616, 1990), fitted to one engine (from
	// memory): choked below 0.4125, and up to 10 per cent less flow near a ratio
	// of one. See [MeasuredRatio].
	Measured
)

// Throttle is one or more like butterfly plates on a common shaft. Angles are in
// rad from the plane square to the bore's axis. The zero value is refused.
type Throttle struct {
	Bore      float64 // m, > 0
	Shaft     float64 // m, diameter of the throttle's shaft, 0 to less than Bore
	Closed    float64 // rad, angle at which the plate meets the bore, 0 to less than pi/2
	Plates    int     // plates that open together; 0 counts as 1
	Discharge float64 // discharge coefficient of the plate's opening, 0 to 1; about 0.8 (common practice, no source)
	Bypass    float64 // m^2, effective area of the idle air that passes the closed plate, >= 0
	Law       FlowLaw
}

// Check refuses sizes outside the ranges stated at the fields.
func (th Throttle) Check() error {
	return check(
		size("throttle bore", th.Bore, "m", 1),
		rule("throttle shaft", th.Shaft, "m", "0 or more and below the bore", th.Shaft >= 0 && th.Shaft < th.Bore),
		rule("closed angle", th.Closed, "rad", "0 or more and below pi/2", th.Closed >= 0 && th.Closed < math.Pi/2),
		rule("throttle plates", float64(th.Plates), "plates", "0 to 16", th.Plates >= 0 && th.Plates <= 16),
		rule("discharge coefficient", th.Discharge, "1", "more than 0 and at most 1", th.Discharge > 0 && th.Discharge <= 1),
		upTo("idle bypass", th.Bypass, "m^2", 1),
		rule("flow law", float64(th.Law), "", "Isentropic or Measured", th.Law == Isentropic || th.Law == Measured),
	)
}

// Area returns the open area in m^2 of all plates at an angle in rad, Closed to
// pi/2, seen along the bore: the bore less the larger of the plate's ellipse and
// the shaft. Without a shaft it is pi/4 D^2 (1 - cos angle/cos Closed). Source:
// Heywood, Internal Combustion Engine Fundamentals (1988), section 7.6 on the
// flow past the throttle plate, from memory; a test counts the shadow anew.
func (th Throttle) Area(angle float64) (float64, error) {
	if err := th.Check(); err != nil {
		return 0, err
	}
	if err := th.checkAngle(angle); err != nil {
		return 0, err
	}
	return th.area(angle), nil
}

func (th Throttle) checkAngle(angle float64) error {
	return check(within("throttle angle", angle, "rad", th.Closed, math.Pi/2))
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

// Flow returns the air in kg/s that passes plates and bypass at an angle in rad
// from the ambient air to a manifold at p (Pa, more than 0 and at most ambient).
// The air filter's and the venturi's loss is left out.
func (th Throttle) Flow(angle float64, air Ambient, p float64) (float64, error) {
	if err := th.Check(); err != nil {
		return 0, err
	}
	if err := th.checkAngle(angle); err != nil {
		return 0, err
	}
	if _, err := air.Vacuum(p); err != nil {
		return 0, err
	}
	return th.flow(angle, air, p), nil
}

func (th Throttle) flow(angle float64, air Ambient, p float64) float64 {
	cda := th.Discharge*th.area(angle) + th.Bypass
	if th.Law == Measured {
		return cda * air.Pressure / math.Sqrt(Air.R*air.Temperature) * dryAir.choked * measuredRatio(p/air.Pressure)
	}
	return dryAir.flow(cda, air.Pressure, air.Temperature, p)
}

// MeasuredRatio returns the flow past a throttle plate as a share of the choked
// flow, at the pressure ratio r of manifold over ambient (0 to 1), as fitted by
// Hendricks and Sorenson (SAE 900616, 1990; constants from memory) to one engine:
//
//	beta2 = sqrt(r^0.4404 - r^2.3143) / 0.7404 for r >= 0.4125, else 1
//
// The last tenth of a per cent before r = 1 is straight, as in [Gas.Flow].
func MeasuredRatio(r float64) (float64, error) {
	if err := check(within("pressure ratio", r, "1", 0, 1)); err != nil {
		return 0, err
	}
	return measuredRatio(r), nil
}

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
	if err := th.Check(); err != nil {
		return 0, err
	}
	most := th.Discharge*th.area(math.Pi/2) + th.Bypass
	if err := check(within("effective throttle area", effective, "m^2", th.Bypass, most)); err != nil {
		return 0, err
	}
	return root(th.Closed, math.Pi/2, func(angle float64) float64 {
		return effective - th.Bypass - th.Discharge*th.area(angle)
	}), nil
}
