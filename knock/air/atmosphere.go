package air

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// Constants of the U.S. Standard Atmosphere 1976 (NOAA, NASA, USAF), table 2 and
// section 1.2: exact by definition.
const (
	seaPressure    = 101325.0  // Pa
	seaTemperature = 288.15    // K
	lapse          = 0.0065    // K per geopotential metre, up to 11 km
	gravity        = 9.80665   // m/s^2
	earthRadius    = 6356766.0 // m, for geopotential height
	tropopause     = 11000.0   // m geopotential
	lowest         = -1000.0   // m; the standard tables begin at -5000 m, no road lies below -430 m
)

// exponent of the pressure law, g M0 / (R* L) = 5.25588.
var exponent = gravity / (Dry.R * lapse)

// most is the highest pressure of the air that is accepted, in Pa: more than that
// of the standard air at 1000 m below the sea.
const most = 115e3

// Ambient is the air around the engine. The zero value is refused.
type Ambient struct {
	Pressure    float64 // Pa absolute, 20 to 115 kPa
	Temperature float64 // K, 200 to 400
}

// Check refuses pressures and temperatures at which no engine runs.
func (a Ambient) Check() error {
	return valid.Check(errRange,
		valid.In("ambient pressure", a.Pressure, "Pa", 20e3, most),
		valid.In("ambient temperature", a.Temperature, "K", 200, 400),
	)
}

// Density returns the density of the dry air, p/(R T), in kg/m^3. It is 0 for an
// Ambient that [Ambient.Check] refuses.
func (a Ambient) Density() float64 {
	if a.Check() != nil {
		return 0
	}
	return a.Pressure / (Dry.R * a.Temperature)
}

// Vacuum returns how far a pressure (Pa absolute) lies below this air, in Pa. It
// refuses a pressure at or below zero (a vacuum deeper than the air has) and one
// above the surrounding air (boost, which no vacuum unit is made for).
func (a Ambient) Vacuum(p float64) (float64, error) {
	if err := a.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.Range{Field: "pressure", Value: p, Unit: "Pa", To: a.Pressure, Above: true}); err != nil {
		return 0, err
	}
	return a.Pressure - p, nil
}

// Standard returns the air of the U.S. Standard Atmosphere 1976 at a geometric
// altitude in m, -1000 to 11000:
//
//	H = r0 z/(r0 + z), T = 288.15 - 0.0065 H, p = 101325 (T/288.15)^5.25588
func Standard(altitude float64) (Ambient, error) {
	if err := checkAltitude(altitude); err != nil {
		return Ambient{}, err
	}
	t := seaTemperature - lapse*geopotential(altitude)
	return Ambient{Pressure: seaPressure * math.Pow(t/seaTemperature, exponent), Temperature: t}, nil
}

// MixtureRatio returns the air-fuel ratio to which a fixed-jet carburettor drifts
// in this air when it was set for a ratio (0.01 to 1000 kg/kg) in the air set. It
// meters volume, so the ratio goes with the square root of the density (Gupta,
// Fundamentals of Internal Combustion Engines, example 9.7). Thin air makes the
// mixture rich.
func (a Ambient) MixtureRatio(ratio float64, set Ambient) (float64, error) {
	if err := a.Check(); err != nil {
		return 0, err
	}
	if err := set.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("air-fuel ratio", ratio, "kg/kg", 0.01, 1000)); err != nil {
		return 0, err
	}
	return ratio * math.Sqrt(a.Density()/set.Density()), nil
}

func checkAltitude(z float64) error {
	return valid.Check(errRange, valid.In("altitude", z, "m", lowest, tropopause))
}

func geopotential(z float64) float64 { return earthRadius * z / (earthRadius + z) }
