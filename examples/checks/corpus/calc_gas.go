package corpus

import (
	"fmt"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock/gas"
)

func init() {
	register("gas species", "gas.Species.Properties, gas.Frozen.At", gasSpecies)
	register("fresh charge", "gas.Charge, gas.Frozen.At", freshCharge)
	register("charge by parts", "gas.Mix, gas.Frozen.At", chargeByParts)
	register("flame", "gas.Formation, gas.Mixture.Burn, gas.Mixture.BurnClosed", flame)
	register("fuel-air cycle", "gas.Mix, gas.Mixture.BurnClosed, gas.Mixture.Burn, gas.Mixture.Expand", fuelAirCycle)
	register("equilibrium", "gas.Mixture.Equilibrium", equilibrium)
	register("air need", "gas.Oxygen, gas.Air", airNeed)
	register("heat of combustion", "gas.Mix, gas.Frozen.At, gas.Oxygen", heatOfCombustion)
}

// Dimensions of molar and specific quantities.
var (
	perMole       = quantity.Dim{Mass: 1, Length: 2, Time: -2, Amount: -1}
	perMoleKelvin = quantity.Dim{Mass: 1, Length: 2, Time: -2, Amount: -1, Temperature: -1}
	perMass       = quantity.Dim{Length: 2, Time: -2}
	perMassKelvin = quantity.Dim{Length: 2, Time: -2, Temperature: -1}
	molarMass     = quantity.Dim{Mass: 1, Amount: -1}
	specificMoles = quantity.Dim{Mass: -1, Amount: 1}
)

// standardKelvin is where sensible enthalpy starts, by convention.
const standardKelvin = 298.15

func species(g *Given, name string) *gas.Species {
	word := g.Word(name)
	if word == "n-octane" {
		word = "iso-octane" // the same atoms; only its own enthalpy differs, which the case gives
	}
	s := gas.Named(word)
	if s == nil {
		g.fail("given %q is no species of the library", name)
	}
	return s
}

func gasSpecies(g *Given) (Found, error) {
	s, t := species(g, "species"), g.SI("temperature", dimTemperature)
	from := g.SIOr("from", dimTemperature, standardKelvin)
	cp, h, entropy, err := s.Properties(t)
	if err != nil {
		return nil, err
	}
	h0, err := molarEnthalpy(s, from)
	return Found{
		"cp":                 SI(cp, perMoleKelvin),
		"sensible enthalpy":  SI(h-h0, perMole),
		"formation enthalpy": SI(h0, perMole), // at "from", 298.15 K unless told otherwise
		"entropy":            SI(entropy, perMoleKelvin),
	}, err
}

// molarEnthalpy asks a gas of one species, which may stand a little below the
// range of the species' fit: fuels are fitted from 300 K only.
func molarEnthalpy(s *gas.Species, kelvin float64) (float64, error) {
	f, err := gas.Mix(gas.Part{Species: s, Moles: 1})
	if err != nil {
		return 0, err
	}
	state, err := f.At(kelvin, 101325)
	return state.H * s.MolarMass(), err
}

func freshCharge(g *Given) (Found, error) {
	charge, err := gas.Charge([]gas.Part{{Species: species(g, "fuel"), Moles: 1}}, g.Number("phi"))
	if err != nil {
		return nil, err
	}
	// Properties of an ideal gas do not depend on the pressure, entropy does.
	p := g.SIOr("pressure", dimPressure, 101325)
	s, err := charge.At(g.SI("temperature", dimTemperature), p)
	if err != nil {
		return nil, err
	}
	found := Found{"heat capacity ratio": Number(s.Cp / s.Cv())}
	if !g.Has("compressed temperature") {
		return found, nil
	}
	c, err := charge.At(g.SI("compressed temperature", dimTemperature), p*g.Number("pressure ratio"))
	found["volume ratio"] = Number(s.V() / c.V())
	found["entropy rise"] = SI(c.S-s.S, perMassKelvin)
	return found, err
}

// chargeByParts takes the moles of each part per kg of air, and gives enthalpy
// and energy on the same basis.
func chargeByParts(g *Given) (Found, error) {
	var parts []gas.Part
	mass := 0.0
	for _, p := range g.Groups("parts") {
		part := gas.Part{Species: species(p, "species"), Moles: p.SI("amount", specificMoles)}
		if part.Species == nil {
			continue
		}
		mass += part.Moles * part.Species.MolarMass()
		parts = append(parts, part)
	}
	f, err := gas.Mix(parts...)
	if err != nil {
		return nil, err
	}
	hot, err := f.At(g.SI("temperature", dimTemperature), 101325)
	if err != nil {
		return nil, err
	}
	cold, err := f.At(g.SI("from", dimTemperature), 101325)
	return Found{
		"sensible enthalpy": SI(mass*(hot.H-cold.H), perMass),
		"sensible energy":   SI(mass*(hot.U()-cold.U()), perMass),
	}, err
}

// burner reads fuel (parts by mass, each with its own molar enthalpy or as vapour
// at the temperature of the air) and dry air, and returns the unburned gas with
// its enthalpy per kg.
func burner(g *Given) (gas.Frozen, float64, error) {
	t := g.SI("temperature", dimTemperature)
	var parts []gas.Part
	var molar []float64
	oxygen := 0.0
	add := func(p gas.Part, h float64, err error) error {
		parts, molar = append(parts, p), append(molar, h)
		return err
	}
	for _, f := range g.Groups("fuel") {
		s := species(f, "species")
		if s == nil {
			return gas.Frozen{}, 0, fmt.Errorf("no fuel")
		}
		p := gas.Part{Species: s, Moles: f.Number("mass share") / s.MolarMass()}
		oxygen += p.Moles * gas.Oxygen(s)
		if f.Has("enthalpy") {
			_ = add(p, f.SI("enthalpy", perMole), nil)
			continue
		}
		h, err := molarEnthalpy(s, t)
		if err := add(p, h, err); err != nil {
			return gas.Frozen{}, 0, err
		}
	}
	air := gas.Air(1)
	airMass := 0.0
	for _, p := range air {
		airMass += p.Moles * p.Species.MolarMass()
	}
	if g.Has("oxidant to fuel") {
		oxygen = g.Number("oxidant to fuel") / airMass
	} else {
		oxygen /= g.Number("phi")
	}
	for _, p := range gas.Air(oxygen) {
		h, err := molarEnthalpy(p.Species, t)
		if err := add(p, h, err); err != nil {
			return gas.Frozen{}, 0, err
		}
	}
	h, err := gas.Formation(parts, molar)
	if err != nil {
		return gas.Frozen{}, 0, err
	}
	f, err := gas.Mix(parts...)
	return f, h, err
}

func flame(g *Given) (Found, error) {
	f, h, err := burner(g)
	if err != nil {
		return nil, err
	}
	t, p := g.SI("temperature", dimTemperature), g.SI("pressure", dimPressure)
	open, err := f.Mixture().Burn(h, p)
	if err != nil {
		return nil, err
	}
	closed, err := f.Mixture().BurnClosed(h-f.GasConstant()*t, f.GasConstant()*t/p)
	return Found{
		"temperature":         SI(open.T, dimTemperature),
		"isentropic exponent": Number(open.Isentropic()),
		"cp":                  SI(open.Cp, perMassKelvin),
		"temperature, closed": SI(closed.T, dimTemperature),
		"pressure, closed":    SI(closed.P, dimPressure),
	}, err
}

// fuelAirCycle burns a compressed charge with residual gas at constant volume and
// at constant pressure, and expands the first to the volume ratio.
func fuelAirCycle(g *Given) (Found, error) {
	fuel, residual := species(g, "fuel"), g.Number("residual")
	if fuel == nil {
		return nil, fmt.Errorf("no fuel")
	}
	need := gas.Oxygen(fuel)
	fresh := append([]gas.Part{{Species: fuel, Moles: 1}}, gas.Air(need)...)
	// Cold products of stoichiometric burning: the fuel's carbon and hydrogen as
	// CO2 and H2O. The library counts the oxygen a fuel needs, C + H/4, and carbon
	// and hydrogen follow from its molar mass.
	carbon, hydrogen := carbonHydrogen(fuel)
	burned := []gas.Part{{Species: gas.Named("CO2"), Moles: carbon}, {Species: gas.Named("H2O"), Moles: hydrogen / 2}}
	for _, p := range gas.Air(need) {
		if p.Species != gas.Named("O2") {
			burned = append(burned, p)
		}
	}
	var parts []gas.Part
	for _, p := range fresh {
		parts = append(parts, gas.Part{Species: p.Species, Moles: p.Moles * (1 - residual)})
	}
	for _, p := range burned {
		parts = append(parts, gas.Part{Species: p.Species, Moles: p.Moles * residual})
	}
	f, err := gas.Mix(parts...)
	if err != nil {
		return nil, err
	}
	u, err := f.At(g.SI("temperature", dimTemperature), g.SI("pressure", dimPressure))
	if err != nil {
		return nil, err
	}
	closed, err := f.Mixture().BurnClosed(u.U(), u.V())
	if err != nil {
		return nil, err
	}
	found := Found{"temperature, closed": SI(closed.T, dimTemperature), "pressure, closed": SI(closed.P, dimPressure)}
	if g.Has("expansion ratio") {
		end, err := f.Mixture().Expand(closed, closed.V()*g.Number("expansion ratio"))
		if err != nil {
			return nil, err
		}
		found["temperature, expanded"] = SI(end.T, dimTemperature)
		found["pressure, expanded"] = SI(end.P, dimPressure)
		return found, nil
	}
	open, err := f.Mixture().Burn(u.H, u.P)
	found["temperature, open"] = SI(open.T, dimTemperature)
	return found, err
}

// carbonHydrogen returns the atoms of a hydrocarbon from the two things the
// library tells: M = 12.0107 C + 1.00794 H and oxygen need C + H/4.
func carbonHydrogen(fuel *gas.Species) (carbon, hydrogen float64) {
	const c, h = 12.0107e-3, 1.00794e-3
	carbon = (fuel.MolarMass() - 4*h*gas.Oxygen(fuel)) / (c - 4*h)
	return carbon, 4 * (gas.Oxygen(fuel) - carbon)
}

// equilibrium holds the elements of given parts at a temperature and pressure.
func equilibrium(g *Given) (Found, error) {
	var parts []gas.Part
	for _, p := range g.Groups("parts") {
		parts = append(parts, gas.Part{Species: species(p, "species"), Moles: p.Number("moles")})
	}
	if g.Has("oxygen as air") {
		parts = append(parts, gas.Air(g.Number("oxygen as air"))...)
	}
	f, err := gas.Mix(parts...)
	if err != nil {
		return nil, err
	}
	s, err := f.Mixture().Equilibrium(g.SI("temperature", dimTemperature), g.SI("pressure", dimPressure))
	if err != nil {
		return nil, err
	}
	found := Found{"molar mass": SI(gas.R/s.R, molarMass)}
	for _, name := range gas.Products() {
		found[name] = Number(s.MoleFraction(name))
	}
	return found, nil
}

func airNeed(g *Given) (Found, error) {
	fuel := species(g, "fuel")
	if fuel == nil {
		return nil, fmt.Errorf("no fuel")
	}
	mass := 0.0
	for _, p := range gas.Air(gas.Oxygen(fuel)) {
		mass += p.Moles * p.Species.MolarMass()
	}
	return Found{"air to fuel": Number(mass / fuel.MolarMass())}, nil
}

// heatOfCombustion is the lower heating value at 298.15 K: the enthalpy that
// C a H b loses on becoming a CO2 and b/2 H2O. A liquid gives its own enthalpy.
func heatOfCombustion(g *Given) (Found, error) {
	fuel := species(g, "fuel")
	if fuel == nil {
		return nil, fmt.Errorf("no fuel")
	}
	h, err := molarEnthalpy(fuel, standardKelvin)
	if err != nil {
		return nil, err
	}
	h = g.SIOr("enthalpy", perMole, h)
	hCO2, err := molarEnthalpy(gas.Named("CO2"), standardKelvin)
	if err != nil {
		return nil, err
	}
	hH2O, err := molarEnthalpy(gas.Named("H2O"), standardKelvin)
	carbon, hydrogen := carbonHydrogen(fuel)
	return Found{"lower heating value": SI((h-carbon*hCO2-hydrogen/2*hH2O)/fuel.MolarMass(), perMass)}, err
}
