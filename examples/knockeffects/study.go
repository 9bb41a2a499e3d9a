package main

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
)

// effect is one published effect beside the computed one.
type effect struct {
	name, source string
	from, to     float64 // published; equal where one number is printed
	half         float64 // half a unit of its last printed digit, or of its spread where the source tells one
	computed     float64
	used         bool   // some constant of the model was set with it in view
	why          string // where the computed value lies outside
}

func (e *effect) published() string {
	if e.from == e.to {
		return fmt.Sprintf("%.3g", e.from)
	}
	return fmt.Sprintf("%.3g to %.3g", e.from, e.to)
}

func (e *effect) inside() bool { return e.computed >= e.from-e.half && e.computed <= e.to+e.half }

// The sources that several rows name.
const (
	russ     = "S. Russ, SAE 960497 (1996), abstract"
	crossley = "0.017 P. R. Crossley, J. A. Cook, IEE Control 91, at 1910 rpm; 0.021 a pushrod six at part throttle, 1935; 0.026 the survey's upper end"
)

// bench asks one engine.
type bench struct {
	ctx   context.Context
	model *knock.Model
	spark float64 // held, deg
	err   error
}

// engine is the one of most rows, on a fuel without sensitivity.
func engine() knock.Engine {
	return knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 91, MON: 91})
}

// need is the octane needed at the held spark and so many degrees more.
func (b *bench) need(m *knock.Model, c knock.Condition, more float64) float64 {
	if b.err != nil {
		return math.NaN()
	}
	n, err := m.OctaneRequirement(b.ctx, []knock.Point{{RPM: 2000, Degrees: b.spark + more}}, c)
	if err != nil {
		b.err = err
		return math.NaN()
	}
	return n[0].Index
}

func (b *bench) ratio(r float64) *knock.Model {
	m, err := b.model.WithCompressionRatio(r)
	if err != nil {
		b.err = err
		return b.model
	}
	return m
}

func study(ctx context.Context) ([]effect, error) {
	m, err := knock.New(engine(), nil)
	if err != nil {
		return nil, err
	}
	w, err := m.SparkRequirement(knock.Condition{RPM: 2000})
	if err != nil {
		return nil, err
	}
	b := &bench{ctx: ctx, model: m, spark: w.KLSA}
	effects := b.octane()
	effects = append(effects, b.mixture()...)
	effects = append(effects, b.pressures()...)
	effects = append(effects, b.torque()...)
	return effects, b.err
}

// octane rows: one thing changed at a time.
func (b *bench) octane() []effect {
	base := b.need(b.model, knock.Condition{}, 0)
	up, err := air.Standard(304.8)
	if err != nil {
		b.err = err
	}
	blocked := engine()
	blocked.BackPressure = 12e3 + 120e3 // a quarter of it at 2000 rpm
	choked, err := knock.New(blocked, nil)
	if err != nil {
		b.err = err
		return nil
	}
	warmer := b.need(b.model, knock.Condition{InletTemperature: 305}, 0) - base
	return []effect{
		{name: "octane per degree of spark", source: russ, from: 1, to: 1, half: 0.5, used: true,
			computed: b.need(b.model, knock.Condition{}, 1) - base},
		{name: "octane per unit of compression ratio", source: russ, from: 5, to: 5, half: 0.5, used: true,
			computed: b.need(b.ratio(9.5), knock.Condition{}, 0) - base,
			why:      tooStrong},
		{name: "octane, 6.5 to 8.0 to 1 at the same spark", source: "On the knocking characteristics of air-cooled engines, AD0636677, abstract", from: 10, to: 10, half: 0.5,
			computed: b.need(b.ratio(8), knock.Condition{}, 0) - b.need(b.ratio(6.5), knock.Condition{}, 0)},
		{name: "kelvin of inlet air per octane", source: russ, from: 7, to: 7, half: 0.5, used: true, computed: 7 / warmer, why: tooStrong},
		{name: "octane per 10 K of coolant", source: russ, from: 1, to: 1, half: 0.5, used: true,
			computed: b.need(b.model, knock.Condition{Coolant: 368}, 0) - base},
		{name: "octane per 10 kPa of inlet pressure", source: russ, from: 3, to: 4, half: 0.5, used: true,
			computed: base - b.need(b.model, knock.Condition{InletPressure: 0.98*101325 - 1e4}, 0), why: b.pressureWhy()},
		{name: "octane per 30 kPa of back pressure", source: russ, from: 1, to: 1, half: 0.5, used: true, computed: b.need(choked, knock.Condition{}, 0) - base,
			why: "half as much again, on the side of knock too early: the burned gas that the pressure holds back is hot, and what of it cools on the way is not known."},
		{name: "octane less per 1000 ft of altitude", source: "ASTM D4814, cars without control (from memory)", from: 1, to: 1.5, half: 0.25,
			computed: base - b.need(b.model, knock.Condition{Ambient: up.Pressure}, 0)},
		{name: "octane less per g/kg of humidity", source: "common practice", from: 0.25, to: 0.35, half: 0.05, used: true,
			computed: base - b.need(b.model, knock.Condition{Humidity: 0.008}, 0)},
		{name: "octane less by 10 % exhaust gas in the inlet, % of it", source: "B. Hoepke et al., SAE 2012-01-0707: 3 beyond the slower burn", from: 3, to: 20, used: true,
			computed: 100 * (1 - b.need(b.model, knock.Condition{Dilution: 0.1}, 0)/base)},
	}
}

// tooStrong is why compression, inlet air and pressure all weigh a little too much.
const tooStrong = "too strong, on the side of knock too early, as pressure and compression are both, and in the right proportion to each other (the boost of 1938, below). An exponent of the delay against octane of 4.4 instead of 3.8 would bring all of them inside (ratio 5.2, air 7.4, pressure 4.0, spark 0.9), but takes the step from 6.5 to 8.0 to 1 to 8.4, which is published as 10, and the octane of an engine of 6 to 1 four numbers above what is known; the fit itself has 3.4. The evidence disagrees."

// pressureWhy takes the effect of inlet pressure apart.
func (b *bench) pressureWhy() string {
	const exponent, power = 1.3, 3.8 // of the delay against pressure and octane as the model leans them
	direct := 91 * exponent / power * math.Log(0.98*101.325/(0.98*101.325-10))
	return fmt.Sprintf("%.1f of it are the delay's own, its exponent of pressure, 1.3, over that of octane, 3.8; the rest is the burn, which quickens with pressure. It is ", direct) + tooStrong
}

// mixture rows: the need peaks and falls on both sides.
func (b *bench) mixture() []effect {
	peak, at := 0.0, 0.0
	for phi := 0.9; phi < 1.3; phi += 0.01 {
		if n := b.need(b.model, knock.Condition{Mixture: phi}, 0); n > peak {
			peak, at = n, phi
		}
	}
	ratio := 14.5 / at
	return []effect{
		{name: "mixture of the highest need, equivalence ratio", source: russ, from: 1.05, to: 1.05, half: 0.03, used: true, computed: at},
		{name: "octane per unit of air-fuel ratio, lean side", source: russ, from: 2, to: 2, half: 1, used: true,
			computed: peak - b.need(b.model, knock.Condition{Mixture: 14.5 / (ratio + 1)}, 0)},
		{name: "octane per unit of air-fuel ratio, rich side", source: russ, from: 2, to: 2, half: 1, used: true,
			computed: peak - b.need(b.model, knock.Condition{Mixture: 14.5 / (ratio - 1)}, 0)},
	}
}

// pressures holds inlet pressure against compression ratio: how much of the one weighs as
// much as a step of the other.
func (b *bench) pressures() []effect {
	const low, high, outside = 4.25, 5.55, 101325.0
	want := b.need(b.ratio(high), knock.Condition{}, 0)
	a, c := 0.98*outside, 1.9*outside
	for range 30 {
		if p := (a + c) / 2; b.need(b.ratio(low), knock.Condition{InletPressure: p}, 0) < want {
			a = p
		} else {
			c = p
		}
	}
	return []effect{{name: "boost that weighs as much as 4.25 to 5.55 to 1, kPa", from: 34, to: 46, half: 0.5,
		source:   "Ethyl Gasoline Corporation, supercharging against compression ratio, 1938 (works archive, typed copy)",
		computed: (a+c)/2/1e3 - 0.98*outside/1e3}}
}

// torque rows.
func (b *bench) torque() []effect {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}), nil)
	if err != nil {
		b.err = err
		return nil
	}
	var out []effect
	for _, rpm := range []float64{1000, 1500, 2000, 3000, 4000, 5000} {
		cond := knock.Condition{RPM: rpm}
		w, err := m.SparkRequirement(cond)
		if err != nil {
			b.err = err
			return nil
		}
		lost, err := m.TorqueLoss(cond, w.MBT-10)
		if err != nil {
			b.err = err
			return nil
		}
		e := effect{name: fmt.Sprintf("torque lost 10 deg late at %g rpm, %% per square degree", rpm), source: crossley,
			from: 0.017, to: 0.026, half: 0.0005, used: true, computed: lost}
		if !e.inside() {
			e.why = "no source tells a loss below 1900 rpm at full load. The walls take more of a slow cycle, 0.57 of its work at 1000 rpm against 0.38 at 2000, which makes the top narrower by half of the difference; burns shorter by a seventh, in crank degrees, make the rest. Half the wall heat would put it at 0.026."
		}
		out = append(out, e)
		if rpm >= 1500 {
			out = append(out, effect{name: fmt.Sprintf("half burned at best torque at %g rpm, deg", rpm), from: 6, to: 11, half: 0.5, used: true, computed: w.HalfBurned,
				source: "J. B. Heywood (1988), ch. 9: 8 to 10, and 2 for the width of the flat top (from memory)"})
		}
	}
	best := func(rpm, mixture float64, chamber knock.Chamber) knock.SparkRequirement {
		e := knock.NewEngine(4, 0.083, 0.0814, 0.14, 9.3, knock.Fuel{RON: 95, MON: 85})
		e.Chamber = chamber
		m, err := knock.New(e, nil)
		if err != nil {
			b.err = err
			return knock.SparkRequirement{}
		}
		w, err := m.SparkRequirement(knock.Condition{RPM: rpm, Mixture: mixture})
		if err != nil {
			b.err = err
		}
		return w
	}
	open := best(3400, 0, knock.Hemispherical)
	out = append(out, effect{name: "best torque at 3400 rpm, full load, deg", from: 31, to: 31, half: (open.MBTHigh - open.MBTLow) / 2, computed: open.MBT,
		source: "J. Zareei, A. H. Kakaee, Eur. Transp. Res. Rev. 5 (2013) 109, abstract; the band is the model's, size and ratio of the engine are not told there"})
	rising := best(2500, 1, knock.Compact)
	out = append(out, effect{name: "best torque at 2500 rpm, mixture 1, deg: torque still rose at 32", from: 32, to: 60, half: (rising.MBTHigh - rising.MBTLow) / 2, computed: rising.MBT,
		source: "L. Tunka, A. Polcar, Acta Univ. Agric. Mendel. Brun. 65 (2017) 545, abstract; the band is the model's"})
	return out
}
