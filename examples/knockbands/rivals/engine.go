package rivals

import (
	"math"
	"math/rand/v2"

	"example.org/bobweight/knock"
)

// Engine is one engine: what its owner knows of it, and how it truly behaves.
type Engine struct {
	// What the owner knows.
	Bore, Stroke, Rod float64 // m
	Ratio             float64 // compression ratio
	InletClose        float64 // crank degrees before firing top centre
	Chamber           int     // 0 wedge, 1 hemispherical, 2 side valve, 3 compact
	RON, MON          float64

	Law Law // which laws it follows, for reports

	filling, warming func(rpm float64) float64 // volumetric efficiency; K at inlet closing
	wall             wallLaw
	wallFactor       float64
	burn             burnLaw
	delay            delayLaw
	delayScale       float64 // sets the level, see anchor
	residual         float64
	consumed         float64 // share burned after which no knock is heard
	gamma0, gammaT   float64 // unburned ratio of heat capacities and its fall per K
}

// Law names what an engine was drawn with.
type Law struct{ Delay, Burn, Wall, Filling, Warming string }

// Best torque and knock are looked for between these sparks, crank degrees before top centre.
const earliest, latest = 62.0, -12.0

// Draw returns the engine of a number; the same number gives the same engine.
func Draw(number uint64) *Engine {
	r := rand.New(rand.NewPCG(number, 0x726976616c73))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	e := &Engine{Bore: between(0.070, 0.104), Ratio: between(7.2, 10.5), InletClose: between(117, 133), Chamber: r.IntN(4)}
	e.Stroke = e.Bore * between(0.75, 1.2)
	e.Rod = e.Stroke * between(1.65, 1.95)
	e.RON = OctaneOfRatio(e.Ratio) + 1.5*r.NormFloat64()
	e.MON = e.RON - between(6, 11)

	e.drawFilling(r)
	e.drawWarming(r)
	e.drawWall(r)
	e.drawBurn(r)
	e.drawDelay(r)
	e.residual = between(0.04, 0.09)
	e.consumed = between(0.88, 0.97)
	e.gamma0, e.gammaT = between(1.35, 1.365), between(1.25e-4, 1.45e-4)
	// Requirements of engines of one ratio: within one car model some 6 numbers from end to
	// end (B. Hamilton, Gasoline FAQ, 6.16); between designs more.
	e.anchor(OctaneOfRatio(e.Ratio) + 3*r.NormFloat64())
	return e
}

// Told returns the engine as its owner knows it.
func (e *Engine) Told() knock.Engine {
	k := knock.NewEngine(4, e.Bore, e.Stroke, e.Rod, e.Ratio, knock.Fuel{RON: e.RON, MON: e.MON})
	k.Chamber = [...]knock.Chamber{knock.Wedge, knock.Hemispherical, knock.SideValve, knock.Compact}[e.Chamber]
	k.InletClose = e.InletClose
	return k
}

// OctaneOfRatio is the research octane that carburetted engines without electronic timing
// ask for at full throttle: 81, 87, 92, 96, 100, 104 at 6 to 11 to 1 (a table that public
// gasoline references print without naming its tests: common practice), straight between.
func OctaneOfRatio(ratio float64) float64 {
	table := [...]float64{81, 87, 92, 96, 100, 104}
	x := math.Max(0, math.Min(ratio-6, 4.999))
	i := int(x)
	return table[i] + (x-float64(i))*(table[i+1]-table[i])
}

// anchor sets the level of the delay: with a fuel of the octane needed, knock just begins
// eight degrees late of best torque at 2000 rpm.
func (e *Engine) anchor(need float64) {
	e.delayScale = 1
	integral := e.integral(2000, e.BestSpark(2000)-8)
	e.delayScale = integral * math.Pow(e.RON/need, 3.4)
}

// BestSpark returns the spark of best indicated torque at full load.
func (e *Engine) BestSpark(rpm float64) float64 {
	lo, hi := 0.0, 60.0
	const golden = 0.6180339887498949
	a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
	wa, wb := e.cycle(rpm, a).work, e.cycle(rpm, b).work
	for hi-lo > 0.1 {
		if wa > wb {
			hi, b, wb = b, a, wa
			a = hi - golden*(hi-lo)
			wa = e.cycle(rpm, a).work
		} else {
			lo, a, wa = a, b, wb
			b = lo + golden*(hi-lo)
			wb = e.cycle(rpm, b).work
		}
	}
	return (lo + hi) / 2
}

func (e *Engine) integral(rpm, spark float64) float64 { return e.cycle(rpm, spark).integral }

// Limit returns the first spark, coming from retard, at which the end gas ignites at
// full load, and whether there is one.
func (e *Engine) Limit(rpm float64) (spark float64, found bool) {
	const step = 2.0
	if e.integral(rpm, latest) >= 1 {
		return latest, true
	}
	for s := latest + step; s <= earliest; s += step {
		if e.integral(rpm, s) < 1 {
			continue
		}
		lo, hi := s-step, s
		for hi-lo > 0.02 {
			if mid := (lo + hi) / 2; e.integral(rpm, mid) < 1 {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi, true
	}
	return earliest, false
}
