package knock

import "example.org/bobweight/springs/valid"

// Condition is one running point. RPM must be given; any other field left at zero
// takes the default named beside it.
type Condition struct {
	RPM              float64 // crank rpm, 300 to 9000
	InletPressure    float64 // Pa absolute in the manifold, 15 kPa to 250 kPa; zero means full load: 0.98 of ambient
	InletTemperature float64 // K of the air that the engine breathes, 230 to 450; zero means 298
	Ambient          float64 // Pa, 50 kPa to 110 kPa; zero means 101325; air.Standard has it at an altitude
	Coolant          float64 // K, 270 to 400; zero means 358
	Mixture          float64 // equivalence ratio, 0.7 to 1.5; zero means the engine's
	Dilution         float64 // exhaust gas led back into the inlet, share by mass of the charge, 0 to 0.3
	Humidity         float64 // kg of water per kg of dry air, to 0.04; zero means 0.007
}

const atmosphere = 101325.0 // Pa

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
	return valid.Check(errRange,
		valid.In("engine speed", c.RPM, "rpm crank", 300, 9000),
		valid.In("ambient pressure", c.Ambient, "Pa", 5e4, 1.1e5),
		valid.In("inlet pressure", c.InletPressure, "Pa", 1.5e4, 2.5e5),
		valid.In("inlet air temperature", c.InletTemperature, "K", 230, 450),
		valid.In("coolant temperature", c.Coolant, "K", 270, 400),
		valid.In("mixture", c.Mixture, "", 0.7, 1.5),
		valid.In("dilution", c.Dilution, "", 0, 0.3),
		valid.In("humidity", c.Humidity, "kg/kg", 0, 0.04),
	)
}
