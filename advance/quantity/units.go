package quantity

import "math/big"

// scale is an exact factor to SI, ratio·π^pi, with its dimension.
type scale struct {
	ratio *big.Rat
	pi    int
	dim   Dim
}

// definitions lists the units by exact factors of units that stand above them.
// The factors are those of NIST SP 811 (2008), Appendix B.8. A unit that is
// made of others (psi, hp, slug) is left as its definition, unrounded. Only the
// conventional columns of liquid and the electrical-era calorie and Btu are
// what they are by agreement.
var definitions = []struct{ symbol, factor, of string }{
	{"%", "1/100", "1"},
	{"ppm", "1/1000000", "1"},
	{"turns", "1", "1"}, // of a coil

	{"g", "1/1000", "kg"},
	{"mg", "1/1000", "g"},
	{"t", "1000", "kg"},
	{"lb", "0.45359237", "kg"}, // exact
	{"oz", "1/16", "lb"},
	{"gr", "1/7000", "lb"}, // grain

	{"km", "1000", "m"},
	{"cm", "1/100", "m"},
	{"mm", "1/1000", "m"},
	{"um", "1/1000", "mm"},
	{"µm", "1/1000", "mm"},
	{"in", "0.0254", "m"}, // exact
	{"thou", "1/1000", "in"},
	{"ft", "12", "in"},
	{"mi", "5280", "ft"},

	{"ms", "1/1000", "s"},
	{"us", "1/1000", "ms"},
	{"µs", "1/1000", "ms"},
	{"min", "60", "s"},
	{"h", "60", "min"},
	{"Hz", "1", "s^-1"},

	{"L", "1000", "cm^3"},
	{"mL", "1", "cm^3"},
	{"cc", "1", "cm^3"},
	{"mph", "1", "mi/h"},

	{"N", "1", "kg m/s^2"},
	{"mN", "1/1000", "N"},
	{"kN", "1000", "N"},
	{"kgf", "9.80665", "N"}, // exact: standard gravity
	{"gf", "1/1000", "kgf"},
	{"lbf", "9.80665", "lb m/s^2"},
	{"ozf", "1/16", "lbf"},
	{"slug", "1", "lbf s^2/ft"},

	{"Pa", "1", "N/m^2"},
	{"hPa", "100", "Pa"},
	{"kPa", "1000", "Pa"},
	{"MPa", "1000", "kPa"},
	{"GPa", "1000", "MPa"},
	{"mbar", "100", "Pa"},
	{"bar", "1000", "mbar"},
	{"atm", "101325", "Pa"}, // exact
	{"Torr", "1/760", "atm"},
	{"psi", "1", "lbf/in^2"},
	{"ksi", "1000", "psi"},
	{"kpsi", "1000", "psi"},
	{"Mpsi", "1000", "ksi"},
	{"inHg", "3386.389", "Pa"},  // conventional
	{"mmHg", "133.3224", "Pa"},  // conventional
	{"inH2O", "249.0889", "Pa"}, // conventional
	{"mmH2O", "9.80665", "Pa"},  // conventional

	{"J", "1", "N m"},
	{"kJ", "1000", "J"},
	{"MJ", "1000", "kJ"},
	{"cal", "4.1868", "J"}, // International Table
	{"kcal", "1000", "cal"},
	{"Btu", "1055.05585262", "J"}, // International Table
	{"W", "1", "J/s"},
	{"kW", "1000", "W"},
	{"hp", "550", "ft lbf/s"},

	{"degR", "5/9", "K"},
	{"kmol", "1000", "mol"},

	{"mrad", "1/1000", "rad"},
	// deg, rev and rpm carry π and are set in tabulate.
}

// zeros are the temperature scales with a zero point of their own:
// K = (value + zero)·per. They stand alone, never inside an expression.
var zeros = map[string]struct{ zero, per *big.Rat }{
	"degC": {rational("273.15"), rational("1")},
	"degF": {rational("459.67"), rational("5/9")},
}

// table holds every symbol but those of zeros.
var table = tabulate()

func tabulate() map[string]scale {
	one := func(d Dim) scale { return scale{rational("1"), 0, d} }
	t := map[string]scale{
		"1": one(dimNumber), "kg": one(dimMass), "m": one(dimLength), "s": one(dimTime),
		"K": one(dimTemperature), "rad": one(dimAngle), "mol": one(Dim{Amount: 1}),
		"deg": {rational("1/180"), 1, dimAngle},
		"rev": {rational("2"), 1, dimAngle},
		"rpm": {rational("2/60"), 1, dimAngularSpeed},
	}
	for _, d := range definitions {
		of, err := expression(t, d.of)
		if err != nil {
			// Unreachable: the table is fixed, and a test reads it through.
			// Leaving the unit out makes that test fail.
			continue
		}
		t[d.symbol] = scale{of.ratio.Mul(of.ratio, rational(d.factor)), of.pi, of.dim}
	}
	return t
}

// rational returns the exact value of a fixed decimal or fraction.
func rational(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		return new(big.Rat)
	}
	return r
}
