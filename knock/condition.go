package knock

import "math"

// Condition is one running point. RPM must be given; any other field left at zero
// takes the default named beside it.
type Condition struct {
	RPM              float64 // crank rpm, 300 to 9000
	InletPressure    float64 // Pa absolute in the manifold, 15 kPa to 250 kPa; zero means full load: 0.98 of ambient
	InletTemperature float64 // K of the air that the engine breathes, 230 to 450; zero means 298
	Ambient          float64 // Pa, 50 kPa to 110 kPa; zero means 101325 (see [AmbientAt])
	Coolant          float64 // K, 270 to 400; zero means 358
	Mixture          float64 // equivalence ratio, 0.7 to 1.5; zero means the engine's
	Dilution         float64 // exhaust gas led back into the inlet, share by mass of the charge, 0 to 0.3
	Humidity         float64 // kg of water per kg of dry air, to 0.04; zero means 0.007
}

const fullLoadInlet = 0.98 // of ambient, air cleaner and open throttle (common practice)

func (c Condition) withDefaults(e Engine) Condition {
	fill := func(field *float64, value float64) {
		if *field == 0 {
			*field = value
		}
	}
	fill(&c.Ambient, atmosphere)
	fill(&c.InletPressure, fullLoadInlet*c.Ambient)
	fill(&c.InletTemperature, 298)
	fill(&c.Coolant, 358)
	fill(&c.Mixture, e.Mixture)
	fill(&c.Humidity, 0.007)
	return c
}

func (c Condition) check() error {
	return check(
		bound{field: "engine speed", value: c.RPM, lo: 300, hi: 9000, unit: "rpm crank"},
		bound{field: "ambient pressure", value: c.Ambient, lo: 5e4, hi: 1.1e5, unit: "Pa"},
		bound{field: "inlet pressure", value: c.InletPressure, lo: 1.5e4, hi: 2.5e5, unit: "Pa"},
		bound{field: "inlet air temperature", value: c.InletTemperature, lo: 230, hi: 450, unit: "K"},
		bound{field: "coolant temperature", value: c.Coolant, lo: 270, hi: 400, unit: "K"},
		bound{field: "mixture", value: c.Mixture, lo: 0.7, hi: 1.5},
		bound{field: "dilution", value: c.Dilution, lo: 0, hi: 0.3},
		bound{field: "humidity", value: c.Humidity, lo: 0, hi: 0.04, unit: "kg/kg"},
	)
}

// AmbientAt returns the pressure in Pa of the standard atmosphere at an altitude in
// m, -500 to 5500: 101325 (1 - 0.0065 h/288.15)^5.25588. Source: U.S. Standard
// Atmosphere, 1976.
func AmbientAt(metres float64) (float64, error) {
	if err := check(bound{field: "altitude", value: metres, lo: -500, hi: 5500, unit: "m"}); err != nil {
		return 0, err
	}
	return atmosphere * math.Pow(1-0.0065*metres/288.15, 5.25588), nil
}
