package gas

import "math"

// Part is so many moles of one species.
type Part struct {
	Species *Species
	Moles   float64
}

// Dry air by mole fraction: N2 78.084, O2 20.9476, Ar 0.9365, CO2 0.0319 %
// (NASA/TP-2002-211556, record "Air").
var dryAir = [...]Part{{n2, 0.78084}, {o2, 0.209476}, {ar, 0.009365}, {co2, 0.000319}}

// Air returns dry air that holds so many moles of oxygen, > 0.
func Air(oxygen float64) []Part {
	parts := make([]Part, len(dryAir))
	for i, p := range dryAir {
		parts[i] = Part{p.Species, p.Moles * oxygen / 0.209476}
	}
	return parts
}

// Oxygen returns the moles of O2 that burn one mole of a fuel of carbon,
// hydrogen and oxygen to carbon dioxide and water: C + H/4 - O/2; 0 for nil.
func Oxygen(fuel *Species) float64 {
	if fuel == nil {
		return 0
	}
	return fuel.atoms[carbon] + fuel.atoms[hydrogen]/4 - fuel.atoms[oxygen]/2
}

// Frozen is a gas whose composition stays: a fresh charge, or products too cold
// to react. The zero value is empty and refused.
type Frozen struct {
	parts []Part // moles per kg
	r     float64
}

// Mix returns the gas of the given parts, in any total amount. It refuses an
// empty list, a species without mass and a negative or non-finite amount.
func Mix(parts ...Part) (Frozen, error) {
	mass := 0.0
	for _, p := range parts {
		if p.Species == nil || p.Species.molar == 0 {
			return Frozen{}, outOfRange("species molar mass", 0, "kg/mol", "a species of this package")
		}
		if !inside(p.Moles, 0, math.MaxFloat64) {
			return Frozen{}, outOfRange("amount of "+p.Species.name, p.Moles, "mol", "0 or more")
		}
		mass += p.Moles * p.Species.molar
	}
	if !inside(mass, 1e-300, math.MaxFloat64) {
		return Frozen{}, outOfRange("mass of the mixture", mass, "kg", "more than 0")
	}
	f := Frozen{parts: make([]Part, 0, len(parts))}
	for _, p := range parts {
		n := p.Moles / mass
		f.parts = append(f.parts, Part{p.Species, n})
		f.r += n * R
	}
	return f, nil
}

// Charge returns fuel vapour in dry air at an equivalence ratio phi (1 =
// stoichiometric), 0 to 4. The fuel is given by its parts in moles.
func Charge(fuel []Part, phi float64) (Frozen, error) {
	if !inside(phi, 0, 4) {
		return Frozen{}, outOfRange("equivalence ratio", phi, "1", "0 to 4")
	}
	oxygen := 0.0
	parts := make([]Part, 0, len(fuel)+len(dryAir))
	for _, p := range fuel {
		if p.Species == nil {
			return Frozen{}, outOfRange("fuel", 0, "mol", "a species of this package")
		}
		oxygen += p.Moles * Oxygen(p.Species)
		parts = append(parts, Part{p.Species, p.Moles * phi})
	}
	if !(oxygen > 0) {
		return Frozen{}, outOfRange("oxygen need of the fuel", oxygen, "mol", "more than 0")
	}
	return Mix(append(parts, Air(oxygen)...)...)
}

// GasConstant returns J/(kg K).
func (f Frozen) GasConstant() float64 { return f.r }

// At returns the state of the unchanged gas at a temperature in K and pressure in
// Pa; Cp and the derivatives are those at constant composition.
func (f Frozen) At(kelvin, pascal float64) (State, error) {
	if err := checkState(kelvin, pascal); err != nil {
		return State{}, err
	}
	if len(f.parts) == 0 {
		return State{}, outOfRange("mass of the mixture", 0, "kg", "more than 0")
	}
	return f.at(kelvin, pascal), nil
}

func (f Frozen) at(t, p float64) State {
	s := State{T: t, P: p, R: f.r, dlnVdlnT: 1, dlnVdlnP: -1}
	total := f.r / R
	for _, part := range f.parts {
		cp, h, e := part.Species.reduced(t)
		n := part.Moles
		s.Cp += n * R * cp
		s.H += n * R * t * h
		if n > 0 {
			s.S += n * R * (e - math.Log(n/total*p/standard))
		}
	}
	return s
}

// Mixture returns the atoms of the gas.
func (f Frozen) Mixture() Mixture {
	var m Mixture
	for _, p := range f.parts {
		for k, a := range p.Species.atoms {
			m.atoms[k] += a * p.Moles
		}
	}
	return m
}

// Formation returns a gas's enthalpy per kg, J/kg, when each part enters at its
// own molar enthalpy in J/mol (liquid fuel, hot air): the inflow of an adiabatic
// burner. The two lists have the same length.
func Formation(parts []Part, molar []float64) (float64, error) {
	if len(parts) != len(molar) {
		return 0, outOfRange("enthalpies given", float64(len(molar)), "values", "one for each part")
	}
	if _, err := Mix(parts...); err != nil {
		return 0, err
	}
	h, mass := 0.0, 0.0
	for i, p := range parts {
		if !inside(molar[i], -1e9, 1e9) {
			return 0, outOfRange("enthalpy of "+p.Species.name, molar[i], "J/mol", "a finite number")
		}
		h += p.Moles * molar[i]
		mass += p.Moles * p.Species.molar
	}
	return h / mass, nil
}

// State is one kilogram of gas at a temperature and pressure.
type State struct {
	T, P float64 // K, Pa
	R    float64 // J/(kg K)
	H, S float64 // J/kg, J/(kg K)
	Cp   float64 // J/(kg K), with the shift of the equilibrium where there is one
	// Moles of each product species per kg, in the order of [Products]; zero for a
	// frozen mixture.
	Moles [len(products)]float64

	dlnVdlnT, dlnVdlnP float64
}

// Products names the species that [State.Moles] counts.
func Products() []string {
	names := make([]string, len(products))
	for i, s := range products {
		names[i] = s.name
	}
	return names
}

// U returns the internal energy, J/kg.
func (s State) U() float64 { return s.H - s.R*s.T }

// V returns the specific volume, m3/kg.
func (s State) V() float64 { return s.R * s.T / s.P }

// Cv returns the heat capacity at constant volume, J/(kg K): cp + R
// (dlnV/dlnT)^2 / (dlnV/dlnp), with the shift of the equilibrium.
func (s State) Cv() float64 { return s.Cp + s.R*s.dlnVdlnT*s.dlnVdlnT/s.dlnVdlnP }

// Isentropic returns the exponent -dlnp/dlnV at constant entropy.
func (s State) Isentropic() float64 { return -s.Cp / s.Cv() / s.dlnVdlnP }

// MoleFraction returns the share of a product species by name, 0 when it is not
// among [Products].
func (s State) MoleFraction(name string) float64 {
	for i, p := range products {
		if p.name == name {
			return s.Moles[i] * R / s.R
		}
	}
	return 0
}
