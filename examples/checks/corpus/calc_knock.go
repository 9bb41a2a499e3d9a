package corpus

import (
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/correlations"
)

func init() {
	register("autoignition delay", "correlations.Delay.Seconds", autoignitionDelay)
	register("autoignition integral", "correlations.Delay.Onset", autoignitionIntegral)
	register("octane index", "knock.Fuel.Index", octaneIndex)
	register("octane effects", "knock.Model.OctaneRequirement, knock.Model.WithCompressionRatio", octaneEffects)
	register("octane and mixture", "knock.Model.OctaneRequirement", octaneAndMixture)
}

func autoignitionDelay(g *Given) (Found, error) {
	p, t, on := g.SI("pressure", dimPressure), g.SI("temperature", dimTemperature), g.Number("octane")
	tau, err := correlations.Delay{}.Seconds(p, t, on)
	found := Found{"delay": SI(tau, dimTime)}
	if err != nil || !g.Has("other octane") {
		return found, err
	}
	other, err := correlations.Delay{}.Seconds(p, t, g.Number("other octane"))
	found["ratio"] = Number(other / tau)
	return found, err
}

// autoignitionIntegral follows a ramp of pressure and temperature over time, or a
// motored compression of a polytrope from bottom centre on.
func autoignitionIntegral(g *Given) (Found, error) {
	p0, t0, on := g.SI("pressure", dimPressure), g.SI("temperature", dimTemperature), g.Number("octane")
	if g.Has("end") {
		dp, dt := g.SI("pressure rise", quantity.Dim{Mass: 1, Length: -1, Time: -3}), g.SI("temperature rise", quantity.Dim{Temperature: 1, Time: -1})
		_, onset, reached, err := correlations.Delay{}.Onset(g.SI("end", dimTime), on, func(s float64) (float64, float64) { return p0 + dp*s, t0 + dt*s })
		if err == nil && !reached {
			g.fail("the integral does not reach one")
		}
		return Found{"onset": SI(onset, dimTime)}, err
	}
	e := engineOf(g)
	bottom, err := e.Volume(-180)
	if err != nil {
		return nil, err
	}
	// Time per degree is the crank's: 6 degrees a second for each rpm.
	perSecond := 6 * g.CrankRPM("speed", advance.FourStroke)
	n, last := g.Number("polytropic exponent"), g.CrankDegrees("last angle", advance.FourStroke)
	var bad error
	sum, _, _, err := correlations.Delay{}.Onset((180+last)/perSecond, on, func(s float64) (float64, float64) {
		v, err := e.Volume(-180 + s*perSecond)
		if err != nil {
			bad = err
		}
		return p0 * math.Pow(bottom/v, n), t0 * math.Pow(bottom/v, n-1)
	})
	if err == nil {
		err = bad
	}
	return Found{"integral": Number(sum)}, err
}

func octaneIndex(g *Given) (Found, error) {
	return Found{"index": Number(knock.Fuel{RON: g.Number("research octane"), MON: g.Number("motor octane")}.Index(g.Number("K")))}, nil
}

// octaneNeed asks for the octane index at a spark, kept at the limit of the
// engine's own fuel on the library's standard day.
type octaneNeed struct {
	model *knock.Model
	rpm   float64
	limit float64
	err   error
}

func octaneNeedOf(g *Given) (*octaneNeed, error) {
	m, err := engineModel(g)
	if err != nil {
		return nil, err
	}
	rpm := g.CrankRPM("speed", advance.FourStroke)
	w, err := m.SparkRequirement(knock.Condition{RPM: rpm})
	return &octaneNeed{model: m, rpm: rpm, limit: w.KLSA}, err
}

// at is the index under a condition with so many degrees of spark more.
func (o *octaneNeed) at(m *knock.Model, c knock.Condition, more float64) float64 {
	c.RPM = o.rpm
	n, _, _, err := m.OctaneRequirement(c, o.limit+more)
	if err != nil {
		o.err = err
		return 0
	}
	return n
}

// octaneEffects asks how much octane each change costs.
func octaneEffects(g *Given) (Found, error) {
	o, err := octaneNeedOf(g)
	if err != nil {
		return nil, err
	}
	higher, err := o.model.WithCompressionRatio(g.Number("compression ratio") + 1)
	if err != nil {
		return nil, err
	}
	base := o.at(o.model, knock.Condition{}, 0)
	with := func(c knock.Condition) float64 { return o.at(o.model, c, 0) }
	const inlet, coolant, inletPressure = 298.0, 358.0, 0.98 * 101325 // the library's standard day
	return Found{
		"per degree":            Number(o.at(o.model, knock.Condition{}, 1) - base),
		"per unit of ratio":     Number(o.at(higher, knock.Condition{}, 0) - base),
		"kelvin per octane":     SI(7/(with(knock.Condition{InletTemperature: inlet + 7})-base), dimTemperature),
		"per 10 kPa":            Number(base - with(knock.Condition{InletPressure: inletPressure - 1e4})),
		"per 10 K of coolant":   Number(with(knock.Condition{Coolant: coolant + 10}) - base),
		"gain of 10 % dilution": Number(base - with(knock.Condition{Dilution: 0.1})),
	}, o.err
}

// octaneAndMixture looks for the mixture that asks for the most octane, and how
// much less one unit of air-fuel ratio beside it asks.
func octaneAndMixture(g *Given) (Found, error) {
	o, err := octaneNeedOf(g)
	if err != nil {
		return nil, err
	}
	best, richest := 0.0, 0.0
	for phi := 0.95; phi < 1.2; phi += 0.01 {
		if n := o.at(o.model, knock.Condition{Mixture: phi}, 0); n > best {
			best, richest = n, phi
		}
	}
	return Found{
		"mixture of most need": Number(richest),
		"per unit of air-fuel": Number(best - o.at(o.model, knock.Condition{Mixture: 14.5 / (14.5/richest + 1)}, 0)),
	}, o.err
}
