package quantity

// The kinds of plain value. Each is a float64 in the SI unit named.
type (
	// Mass is in kg, 0 or more. A zero mass decodes; whether it makes sense is
	// for the package that uses it to say.
	Mass = Value[mass]
	// Length is in m. It may be negative, as a coordinate is.
	Length = Value[length]
	// Force is in N.
	Force = Value[force]
	// Stiffness is the rate of a straight spring in N/m.
	Stiffness = Value[stiffness]
	// Moment is in N m.
	Moment = Value[moment]
	// Vacuum is pressure below ambient, in Pa, 0 or more.
	Vacuum = Value[vacuum]
	// Stress is a stress or a modulus of elasticity in Pa.
	Stress = Value[stress]
	// Temperature is absolute, in K, 0 or more; it decodes from K, degC, degF.
	Temperature = Value[temperature]
	// Ratio is a plain number; it decodes from "12 %", "8.5:1" or "0.12 1".
	Ratio = Value[ratio]
	// Turns is a number of coils, 0 or more; it decodes from "9.5 turns".
	Turns = Value[turns]
)

type (
	mass        struct{}
	length      struct{}
	force       struct{}
	stiffness   struct{}
	moment      struct{}
	vacuum      struct{}
	stress      struct{}
	temperature struct{}
	ratio       struct{}
	turns       struct{}
)

func (mass) about() about {
	return about{name: "mass", dim: dimMass, metric: "g", trade: "oz", others: []string{"kg", "mg", "lb", "gr"}}
}
func (length) about() about {
	return about{name: "length", dim: dimLength, metric: "mm", trade: "in", others: []string{"cm", "m", "thou", "ft"}, signed: true}
}
func (force) about() about {
	return about{name: "force", dim: dimForce, metric: "N", trade: "lbf", others: []string{"kgf", "ozf", "gf"}, signed: true}
}
func (stiffness) about() about {
	return about{name: "spring rate", dim: dimStiffness, metric: "N/mm", trade: "lbf/in", others: []string{"N/m", "kgf/mm"}, signed: true}
}
func (moment) about() about {
	return about{name: "moment", dim: dimMoment, metric: "N mm", trade: "lbf in", others: []string{"N m", "ozf in", "lbf ft"}, signed: true}
}
func (vacuum) about() about {
	return about{name: "vacuum (below ambient)", dim: dimPressure, metric: "kPa", trade: "inHg", others: []string{"hPa", "mbar", "mmHg"}}
}
func (stress) about() about {
	return about{name: "stress or modulus", dim: dimPressure, metric: "MPa", trade: "ksi", others: []string{"GPa", "psi", "Mpsi"}, signed: true}
}
func (temperature) about() about {
	return about{name: "temperature", dim: dimTemperature, metric: "degC", trade: "degF", others: []string{"K"}}
}
func (ratio) about() about {
	return about{name: "ratio", dim: dimNumber, metric: "1", trade: "%", others: []string{":1 (as in 8.5:1)"}, signed: true}
}
func (turns) about() about {
	return about{name: "number of turns", dim: dimNumber, metric: "turns", trade: "1"}
}
