package entrained

import (
	"math"
	"math/rand/v2"

	"example.org/bobweight/examples/knockbands/rivals"
	"example.org/bobweight/knock"
)

// Engine is one engine.
type Engine struct {
	bore, stroke, rod, ratio, close float64 // m; crank degrees before top centre
	fuel                            knock.Fuel
	told                            knock.Engine // what its owner believes

	filling, warming func(rpm float64) float64 // volumetric efficiency; K at inlet closing
	wall             powerLaw
	flame            flame
	fuse             ignition
	fuseScale        float64
	residual         func(rpm float64) float64
	heard            func(rpm float64) float64 // least unburned share whose knock is heard
	cylinders        [4]struct{ at2000, slope float64 }
	gamma0, gammaT   float64 // unburned ratio of heat capacities at 300 K and its fall per K
	gammaBurned      float64
	crevice          float64 // share of the clearance volume
}

// between draws evenly.
func between(r *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }

// Draw returns the engine of a number; the same number gives the same engine.
func Draw(number uint64) *Engine {
	r := rand.New(rand.NewPCG(number, 0x656e747261696e))
	e := &Engine{bore: between(r, 0.068, 0.106), ratio: between(r, 6.6, 10.8), close: between(r, 112, 136)}
	e.stroke = e.bore * between(r, 0.72, 1.25)
	e.rod = e.stroke * between(r, 1.6, 2.0)
	e.fuel.RON = rivals.OctaneOfRatio(e.ratio) + 1.5*r.NormFloat64()
	e.fuel.MON = e.fuel.RON - between(r, 5, 12)
	chamber := r.IntN(4)

	e.drawFilling(r)
	e.drawWarming(r)
	e.wall = powerLaw{pressure: between(r, 0.6, 1), piston: between(r, 0.3, 0.9), temperature: between(r, -0.6, 0.5),
		level: 1200 * math.Exp(0.25*r.NormFloat64())}
	share, fall := between(r, 0.05, 0.1), between(r, 0, 0.3)
	e.residual = func(n float64) float64 { return share * math.Pow(n/2000, -fall) }
	quiet, noise := between(r, 0.03, 0.1), between(r, 0, 0.8)
	e.heard = func(n float64) float64 { return quiet * math.Pow(n/2000, noise) }
	for i := range e.cylinders {
		e.cylinders[i].at2000, e.cylinders[i].slope = 4*r.NormFloat64(), 2*r.NormFloat64()
	}
	e.gamma0, e.gammaT = between(r, 1.345, 1.37), between(r, 1.2e-4, 1.5e-4)
	e.gammaBurned = between(r, 1.22, 1.26)
	e.crevice = between(r, 0.01, 0.025)
	e.drawFuse(r)
	e.fuseScale = 1
	e.drawFlame(r, chamber)
	power, late := between(r, 2.8, 4.2), between(r, 6, 10)
	need := rivals.OctaneOfRatio(e.ratio) + 3*r.NormFloat64()
	at := e.BestSpark(2000) - late
	lo, hi := 1e-3, 1e3
	for range 40 {
		e.fuseScale = math.Sqrt(lo * hi)
		if e.worst(2000, at) > 1 {
			lo = e.fuseScale
		} else {
			hi = e.fuseScale
		}
	}
	e.fuseScale *= math.Pow(e.fuel.RON/need, power)

	k := knock.NewEngine(4, e.bore, e.stroke, e.rod, math.Round(10*(e.ratio+0.1*r.NormFloat64()))/10, e.fuel)
	k.Chamber = [...]knock.Chamber{knock.Wedge, knock.Hemispherical, knock.SideValve, knock.Compact}[chamber]
	k.InletClose = math.Round(e.close + 4*r.NormFloat64())
	e.told = k
	return e
}

// Told returns the engine as its owner believes it to be.
func (e *Engine) Told() knock.Engine { return e.told }

// drawFilling draws volumetric efficiency over speed.
func (e *Engine) drawFilling(r *rand.Rand) {
	top := between(r, 0.76, 0.9)
	switch r.IntN(3) {
	case 0: // small valves: level, then falling with the inlet Mach index (C. F. Taylor, from memory)
		knee, fall := between(r, 3000, 5000), between(r, 0.06, 0.14)
		e.filling = func(n float64) float64 { return math.Max(0.4, top-fall*math.Max(0, n-knee)/1000) }
	case 1: // waves in the port, at even steps of the time between two
		depth, waves, phase := between(r, 0.02, 0.06), between(r, 8000, 16000), between(r, 0, 2*math.Pi)
		e.filling = func(n float64) float64 {
			return math.Max(0.4, top-0.03*(n/3000-1)*(n/3000-1)+depth*math.Sin(2*math.Pi*waves/n/4+phase))
		}
	default: // up to the peak of torque and down again
		peak, up, down := between(r, 1600, 3400), between(r, 0.02, 0.07), between(r, 0.02, 0.06)
		e.filling = func(n float64) float64 {
			if n < peak {
				return top - up*(peak-n)/1000
			}
			return math.Max(0.4, top-down*(n-peak)/1000)
		}
	}
}

// drawWarming draws the temperature at inlet closing.
func (e *Engine) drawWarming(r *rand.Rand) {
	at2000 := 366 + 9*r.NormFloat64()
	switch r.IntN(3) {
	case 0: // an exchanger, and the friction of the flow
		share, heat := between(r, 0.2, 0.5), between(r, 0.5, 2.5)
		law := func(n float64) float64 {
			return -140*math.Expm1(-share*math.Pow(n/2000, -0.3)) + heat*(n/1000)*(n/1000)
		}
		e.warming = func(n float64) float64 { return at2000 + law(n) - law(2000) }
	case 1: // a heated manifold whose heat goes with less than the flow
		heat, power := between(r, 10, 30), between(r, 0.3, 0.7)
		e.warming = func(n float64) float64 { return at2000 + heat*(math.Pow(n/2000, -power)-1) }
	default: // level, then rising or falling
		slope := between(r, -10, 12)
		e.warming = func(n float64) float64 { return at2000 + slope*math.Max(0, n-2000)/1000 }
	}
}

// Best torque and knock are looked for between these sparks, crank degrees before top centre.
const earliest, latest = 62.0, -12.0

// BestSpark returns the spark of best indicated torque at full load.
func (e *Engine) BestSpark(rpm float64) float64 {
	spark, step := 25.0, 8.0
	best := e.cycle(rpm, spark, 0).work
	for range 200 {
		if step < 0.1 {
			break
		}
		moved := false
		for _, next := range [...]float64{spark + step, spark - step} {
			if next < latest || next > earliest {
				continue
			}
			if w := e.cycle(rpm, next, 0).work; w > best {
				spark, best, moved = next, w, true
				break
			}
		}
		if !moved {
			step /= 2
		}
	}
	return spark
}

// worst is the level of knock, 1 where it is just heard, of the cylinder that knocks most.
func (e *Engine) worst(rpm, spark float64) float64 {
	hottest := math.Inf(-1)
	for _, c := range e.cylinders {
		hottest = math.Max(hottest, c.at2000+c.slope*(rpm-2000)/1000)
	}
	return e.cycle(rpm, spark, hottest).level
}

// Limit returns the first spark, coming from retard, at which knock is heard at full load,
// and whether there is one.
func (e *Engine) Limit(rpm float64) (spark float64, found bool) {
	const step = 2.0
	if e.worst(rpm, latest) >= 1 {
		return latest, true
	}
	for s := latest + step; s <= earliest; s += step {
		if e.worst(rpm, s) < 1 {
			continue
		}
		lo, hi := s-step, s
		for hi-lo > 0.02 {
			if mid := (lo + hi) / 2; e.worst(rpm, mid) < 1 {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi, true
	}
	return earliest, false
}
