package gas

import "math"

// Temperature returns the temperature in K, 250 to 6000, at which the unchanged gas
// has an enthalpy of h J/kg: with the products of complete combustion and the
// enthalpy of fuel and air, the flame temperature without dissociation.
func (f Frozen) Temperature(h float64) (float64, error) {
	if len(f.parts) == 0 {
		return 0, outOfRange("mass of the mixture", 0, "kg", "more than 0")
	}
	t := 1500.0
	for range 100 {
		s := f.at(t, standard)
		step := (h - s.H) / s.Cp
		t = math.Max(lowestState, math.Min(highestState, t+math.Max(-800, math.Min(800, step))))
		if math.Abs(step) < 1e-9*t {
			return t, nil
		}
	}
	return 0, outOfRange("enthalpy", h, "J/kg", "one that the gas has between 250 and 6000 K")
}
