package corpus

import (
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/gas"
)

func init() {
	register("otto cycle", "knock.AirStandard.Run", ottoCycle)
	register("cylinder", "knock.Engine.Volume, knock.Engine.Displacement", cylinder)
	register("clearance gas", "knock.Engine.Volume, gas.Mix, gas.Frozen.At", clearanceGas)
	register("wall heat", "correlations.WallCoefficient, correlations.GasSpeed", wallHeat)
	register("residual gas", "correlations.ResidualFraction", residualGas)
	register("friction", "correlations.FrictionPressure", frictionPressure)
	register("complete combustion", "gas.Formation, gas.Mix, gas.Frozen.Temperature, gas.Frozen.At", completeCombustion)
}

var power = quantity.Dim{Mass: 1, Length: 2, Time: -3}

// ottoCycle takes the compression ratio as such, from the clearance, from two
// pressures or temperatures, or the one of largest work between two temperatures;
// heat as such, for the whole charge, by what is rejected or gained, or by the
// highest temperature or pressure. Ratio and efficiency need none of it.
func ottoCycle(g *Given) (Found, error) {
	a := knock.AirStandard{
		Pressure:    g.SIOr("pressure", dimPressure, 1e5),
		Temperature: g.SIOr("temperature", dimTemperature, 300),
	}
	if g.Has("cv") {
		a.Cv = g.SI("cv", perMassKelvin)
		if g.Has("gas constant") {
			a.Gamma = 1 + g.SI("gas constant", perMassKelvin)/a.Cv
		} else {
			a.Gamma = g.Number("heat capacity ratio")
		}
	} else if g.Has("heat capacity ratio") {
		a.Gamma = g.Number("heat capacity ratio")
		a.Cv = 287 / (a.Gamma - 1) // the gas constant of air; ratios do not hang on it
	}
	swept := ratioAndSwept(g, &a)
	if err := ottoHeat(g, &a); err != nil {
		return nil, err
	}
	i, err := a.Run()
	if err != nil {
		return nil, err
	}
	kelvin, pascal := dimTemperature, dimPressure
	found := Found{
		"T2": SI(i.T2, kelvin), "p2": SI(i.P2, pascal), "T3": SI(i.T3, kelvin), "p3": SI(i.P3, pascal),
		"T4": SI(i.T4, kelvin), "p4": SI(i.P4, pascal), "efficiency": Number(i.Efficiency), "compression ratio": Number(a.Ratio),
		"heat": SI(i.Heat, perMass), "work": SI(i.Work, perMass), "heat rejected": SI(i.Heat-i.Work, perMass),
		"mean pressure": SI(i.MeanPressure, pascal), "clearance over swept volume": Number(1 / (a.Ratio - 1)),
		"specific volume": SI(a.Cv*(a.Gamma-1)*a.Temperature/a.Pressure, quantity.Dim{Length: 3, Mass: -1}),
		"swept volume":    SI(swept, dimVolume),
	}
	if g.Has("cycles") {
		found["power"] = SI(i.MeanPressure*swept*g.SI("cycles", quantity.Dim{Time: -1}), power)
	}
	if g.Has("air flow") {
		found["power"] = SI(i.Work*g.SI("air flow", quantity.Dim{Mass: 1, Time: -1}), power)
	}
	return found, nil
}

// ratioAndSwept sets the compression ratio and returns the swept volume where the
// case has one.
func ratioAndSwept(g *Given, a *knock.AirStandard) (swept float64) {
	switch {
	case g.Has("clearance"):
		if g.Has("largest volume") {
			swept = g.SI("largest volume", dimVolume) - g.SI("clearance", dimVolume)
		} else {
			bore := g.SI("bore", dimLength)
			swept = math.Pi / 4 * bore * bore * g.SI("stroke", dimLength)
		}
		a.Ratio = 1 + swept/g.SI("clearance", dimVolume)
	case g.Has("compressed pressure"):
		a.Ratio = math.Pow(g.SI("compressed pressure", dimPressure)/a.Pressure, 1/a.Gamma)
	case g.Has("compressed temperature"):
		a.Ratio = math.Pow(g.SI("compressed temperature", dimTemperature)/a.Temperature, 1/(a.Gamma-1))
	case g.Has("ratio"):
		g.Word("ratio", "of largest work") // T2 = T4 = sqrt(T1 T3)
		a.Ratio = math.Pow(g.SI("highest temperature", dimTemperature)/a.Temperature, 0.5/(a.Gamma-1))
	default:
		a.Ratio = g.Number("compression ratio")
	}
	return swept
}

// ottoHeat sets what is added at top centre.
func ottoHeat(g *Given, a *knock.AirStandard) error {
	switch {
	case g.Has("highest pressure"): // at constant volume T goes with p
		compressed := a.Temperature * math.Pow(a.Ratio, a.Gamma-1)
		a.Peak = compressed * g.SI("highest pressure", dimPressure) / g.SI("compressed pressure", dimPressure)
	case g.Has("highest temperature"):
		a.Peak = g.SI("highest temperature", dimTemperature)
	case g.Has("heat of the charge"):
		mass := a.Pressure * g.SI("largest volume", dimVolume) / (a.Cv * (a.Gamma - 1) * a.Temperature)
		a.Heat = g.SI("heat of the charge", dimMoment) / mass
	case g.Has("heat rejected"), g.Has("net work"):
		one := *a
		one.Heat = 1e5
		i, err := one.Run()
		if err != nil {
			return err
		}
		if g.Has("net work") {
			a.Heat = g.SI("net work", perMass) / i.Efficiency
		} else {
			a.Heat = g.SI("heat rejected", perMass) / (1 - i.Efficiency)
		}
	default:
		a.Heat = g.SIOr("heat", perMass, 1e5)
	}
	return nil
}

// engineOf reads the geometry of one cylinder.
func engineOf(g *Given) knock.Engine {
	return knock.NewEngine(1, g.SI("bore", dimLength), g.SI("stroke", dimLength),
		g.SIOr("rod", dimLength, 2*g.SI("stroke", dimLength)), g.Number("compression ratio"),
		knock.Fuel{RON: 90, MON: 80})
}

func cylinder(g *Given) (Found, error) {
	e := engineOf(g)
	swept, err := e.Displacement()
	if err != nil || !g.Has("angle") {
		all := g.SIOr("cylinders", dimNumber, 1) * swept
		return Found{"swept volume": SI(swept, dimVolume), "displacement": SI(all, dimVolume)}, err
	}
	v, err := e.Volume(g.CrankDegrees("angle", advance.FourStroke))
	return Found{"volume": SI(v, dimVolume)}, err
}

func clearanceGas(g *Given) (Found, error) {
	v, err := engineOf(g).Volume(0)
	if err != nil {
		return nil, err
	}
	var parts []gas.Part
	for _, p := range g.Groups("parts") {
		parts = append(parts, gas.Part{Species: species(p, "species"), Moles: p.Number("moles")})
	}
	f, err := gas.Mix(parts...)
	if err != nil {
		return nil, err
	}
	s, err := f.At(g.SI("temperature", dimTemperature), g.SI("pressure", dimPressure))
	return Found{"mass": SI(v/s.V(), dimMass)}, err
}

func wallHeat(g *Given) (Found, error) {
	if g.Has("piston speed") {
		w, err := correlations.GasSpeed(g.SI("piston speed", dimSpeed), g.SI("swept volume", dimVolume),
			g.SI("reference temperature", dimTemperature), g.SI("reference pressure", dimPressure),
			g.SI("reference volume", dimVolume), g.SI("pressure", dimPressure), g.SI("motored pressure", dimPressure))
		return Found{"gas speed": SI(w, dimSpeed)}, err
	}
	h, err := correlations.WallCoefficient(g.SI("bore", dimLength), g.SI("pressure", dimPressure),
		g.SI("temperature", dimTemperature), g.SI("gas speed", dimSpeed))
	return Found{"coefficient": SI(h, quantity.Dim{Mass: 1, Time: -3, Temperature: -1})}, err
}

func residualGas(g *Given) (Found, error) {
	x, err := correlations.ResidualFraction(g.CrankRPM("speed", advance.FourStroke), g.SI("overlap factor", quantity.Dim{Length: -1}),
		g.SI("inlet pressure", dimPressure), g.SI("exhaust pressure", dimPressure), g.Number("phi"), g.Number("compression ratio"))
	return Found{"residual": Number(x)}, err
}

func frictionPressure(g *Given) (Found, error) {
	p, err := correlations.FrictionPressure(g.CrankRPM("speed", advance.FourStroke))
	return Found{"mean pressure": SI(p, dimPressure)}, err
}

// completeCombustion burns a mole of a fuel, given by its own molar enthalpy, in the
// air of the textbooks (3.76 N2 to one O2) to CO2, H2O and N2: adiabatically, or with an exhaust
// temperature and a power, by how much heat is left.
func completeCombustion(g *Given) (Found, error) {
	fuel := species(g, "fuel")
	if fuel == nil {
		return nil, g.err
	}
	const nitrogen = 3.76 // mol per mol of oxygen
	need := gas.Oxygen(fuel)
	carbon, hydrogen := carbonHydrogen(fuel)
	products := []gas.Part{{Species: gas.Named("CO2"), Moles: carbon}, {Species: gas.Named("H2O"), Moles: hydrogen / 2}, {Species: gas.Named("N2"), Moles: nitrogen * need}}
	f, err := gas.Mix(products...)
	if err != nil {
		return nil, err
	}
	// Elements enter with nothing: air at 298.15 K.
	h, err := gas.Formation([]gas.Part{{Species: fuel, Moles: 1}, {Species: gas.Named("O2"), Moles: need}, {Species: gas.Named("N2"), Moles: nitrogen * need}},
		[]float64{g.SI("enthalpy", perMole), 0, 0})
	if err != nil {
		return nil, err
	}
	if !g.Has("exhaust temperature") {
		t, err := f.Temperature(h)
		return Found{"temperature": SI(t, dimTemperature)}, err
	}
	s, err := f.At(g.SI("exhaust temperature", dimTemperature), 101325)
	if err != nil {
		return nil, err
	}
	perFuel := 0.0 // kg of gas per kg of fuel
	for _, p := range products {
		perFuel += p.Moles * p.Species.MolarMass() / fuel.MolarMass()
	}
	flow := g.SI("fuel flow", quantity.Dim{Mass: 1, Time: -1}) * perFuel
	return Found{"heat": SI(g.SI("work", power)+flow*(s.H-h), power)}, nil
}
