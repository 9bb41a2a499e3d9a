package corpus

import (
	"example.org/bobweight/advance"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/correlations"
)

func init() {
	register("wiebe burn", "correlations.Wiebe.Exponent, correlations.Wiebe.Angle", wiebeBurn)
	register("laminar flame", "correlations.LaminarFlame.Speed", laminarFlame)
	register("burn angle", "correlations.LaminarFlame.BurnAngleRatio", burnAngle)
	register("burn duration over speed", "correlations.LaminarFlame.BurnAngleRatio", burnDuration)
	register("chamber", "knock.Chamber.Angles", chamber)
	register("best phasing", "knock.Model.SparkRequirement", bestPhasing)
	register("torque given up", "knock.Model.TorqueLoss", torqueGivenUp)
}

// wiebeBurn gives the exponent m and the angle of half burned from the two burn
// angles, which may be shares of a duration.
func wiebeBurn(g *Given) (Found, error) {
	angle, read := CrankDegrees, func(name string) float64 { return g.CrankDegrees(name, advance.FourStroke) }
	if g.Has("shares of duration") {
		g.Word("shares of duration")
		angle, read = Number, g.Number
	}
	w := correlations.Wiebe{Develop: read("0-10 %"), Rapid: read("10-90 %")}
	scale := 1.0
	if w.Develop < 1 { // shares: any duration does, the library wants degrees
		scale = 100
		w = correlations.Wiebe{Develop: scale * w.Develop, Rapid: scale * w.Rapid}
	}
	if err := w.Check(); err != nil {
		return nil, err
	}
	half, err := w.Angle(0.5)
	return Found{"m": Number(w.Exponent() - 1), "half": angle(half / scale)}, err
}

func flameOf(g *Given) correlations.LaminarFlame {
	known := map[string]correlations.LaminarFlame{"gasoline": correlations.GasolineFlame, "iso-octane": correlations.IsoOctaneFlame,
		"indolene": correlations.IndoleneFlame, "iso-octane, Gulder": correlations.GulderFlame}
	f, ok := known[g.Word("flame")]
	if !ok {
		g.fail("given flame is none of the library's fits")
	}
	return f
}

func laminarFlame(g *Given) (Found, error) {
	f := flameOf(g)
	at := func(x float64) (float64, error) {
		return f.Speed(g.Number("phi"), g.SI("temperature", dimTemperature), g.SI("pressure", dimPressure), x)
	}
	x := 0.0
	if g.Has("burned gas") {
		x = g.Number("burned gas")
	}
	s, err := at(x)
	if err != nil {
		return nil, err
	}
	clean, err := at(0)
	return Found{"speed": SI(s, dimSpeed), "dilution factor": Number(s / clean)}, err
}

func burnAngle(g *Given) (Found, error) {
	var states []correlations.FlameState
	for _, p := range g.Groups("states") {
		states = append(states, correlations.FlameState{RPM: p.CrankRPM("speed", advance.FourStroke), Mixture: p.Number("phi"),
			Kelvin: p.SI("temperature", dimTemperature), Pascal: p.SI("pressure", dimPressure), Burned: p.Number("burned gas")})
	}
	if len(states) != 2 {
		g.fail("wanted are two states")
		return nil, nil
	}
	r, err := flameOf(g).BurnAngleRatio(states[1], states[0])
	return Found{"ratio": Number(r)}, err
}

// burnDuration scales a burn duration to another speed with the charge as it is.
func burnDuration(g *Given) (Found, error) {
	// Any charge does: it is the same at both speeds.
	at := correlations.FlameState{RPM: g.CrankRPM("speed", advance.FourStroke), Mixture: 1, Kelvin: 700, Pascal: 1e6}
	reference := at
	reference.RPM = g.CrankRPM("at", advance.FourStroke)
	r, err := correlations.GasolineFlame.BurnAngleRatio(at, reference)
	return Found{"duration": CrankDegrees(r * g.CrankDegrees("duration", advance.FourStroke))}, err
}

func chamber(g *Given) (Found, error) {
	if w := g.Word("chamber"); w != knock.Wedge.String() {
		g.fail("chamber %q is not the one asked for", w)
	}
	develop, rapid, _ := knock.Wedge.Angles()
	return Found{"0-10 %": CrankDegrees(develop), "10-90 %": CrankDegrees(rapid)}, nil
}

// engineModel reads an engine by its plain facts.
func engineModel(g *Given) (*knock.Model, error) {
	return knock.New(knock.NewEngine(g.Whole("cylinders"), g.SI("bore", dimLength), g.SI("stroke", dimLength),
		g.SI("rod", dimLength), g.Number("compression ratio"),
		knock.Fuel{RON: g.Number("research octane"), MON: g.Number("motor octane")}))
}

func bestPhasing(g *Given) (Found, error) {
	m, err := engineModel(g)
	if err != nil {
		return nil, err
	}
	w, err := m.SparkRequirement(knock.Condition{RPM: g.CrankRPM("speed", advance.FourStroke)})
	return Found{"half burned": CrankDegrees(w.HalfBurned), "peak pressure": CrankDegrees(w.PeakPressure)}, err
}

func torqueGivenUp(g *Given) (Found, error) {
	m, err := engineModel(g)
	if err != nil {
		return nil, err
	}
	cond := knock.Condition{RPM: g.CrankRPM("speed", advance.FourStroke)}
	w, err := m.SparkRequirement(cond)
	if err != nil {
		return nil, err
	}
	loss, err := m.TorqueLoss(cond, w.MBT-g.CrankDegrees("retard", advance.FourStroke))
	return Found{"loss": Number(loss)}, err
}
