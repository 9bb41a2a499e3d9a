package entrained

import (
	"math"
	"math/rand/v2"
)

// powerLaw is a heat-transfer coefficient in powers of pressure, piston speed and
// temperature, W/(m2 K); level is that at 40 bar, 6 m/s and 2400 K. The exponents span
// what published laws for engines have.
type powerLaw struct{ pressure, piston, temperature, level float64 }

func (w powerLaw) at(pascal, piston, kelvin float64) float64 {
	return w.level * math.Pow(pascal/40e5, w.pressure) * math.Pow(piston/6, w.piston) * math.Pow(kelvin/2400, w.temperature)
}

// flame is the geometry and the speeds of an entraining flame (the model of N. C. Blizard
// and J. C. Keck, SAE 740191, from memory; constants drawn here).
type flame struct {
	stir    float64 // turbulent speed over mean piston speed
	squeeze float64 // its exponent of the density
	eddy    float64 // m, size of what burns behind the front at 2000 rpm; Taylor's, it goes with the root of the time
	width   float64 // share of the rim's height that the front reaches: plug at the side or in the middle
	laminar func(pascal, kelvin, residual float64) float64
}

// drawFlame draws the flame, and sets its stirring so that the burn from spark to 90 %
// takes a usual angle at 2000 rpm with a spark of 25 degrees: 50 to 63 in a wedge, less
// and more in the others as handbooks rank them.
func (e *Engine) drawFlame(r *rand.Rand, chamber int) {
	f := &e.flame
	f.squeeze, f.eddy, f.width = between(r, 0.2, 0.5), between(r, 0.4e-3, 1.2e-3), [...]float64{0.7, 1, 0.55, 1}[chamber]*between(r, 0.85, 1.15)
	switch r.IntN(2) {
	case 0: // O. L. Guelder (1984), iso-octane, at an equivalence ratio of 1.1
		f.laminar = func(p, t, x float64) float64 {
			return 0.450 * math.Pow(t/300, 1.56) * math.Pow(p/101325, -0.22) * math.Max(0.2, 1-2.3*x)
		}
	default: // M. Metghalchi, J. C. Keck (1982), at 1.1
		f.laminar = func(p, t, x float64) float64 {
			return 0.275 * math.Pow(t/298, 2.1) * math.Pow(p/101325, -0.14) * math.Max(0.2, 1-2.1*x)
		}
	}
	want := 56 * [...]float64{1, 0.93, 1.15, 0.85}[chamber] * math.Exp(0.1*r.NormFloat64())
	lo, hi := 0.05, 4.0
	for range 30 {
		f.stir = math.Sqrt(lo * hi)
		if e.cycle(2000, 25, 0).ninety+25 > want {
			lo = f.stir
		} else {
			hi = f.stir
		}
	}
}

// front is the area of the flame, m2, that holds a volume in a chamber of a bore and a mean
// height: half a sphere at first, then an arc across the disc until the far wall cuts it.
func (f *flame) front(held, all, bore, height float64) float64 {
	y := math.Min(held/all, 1)
	half := 2 * math.Pi * math.Pow(3*held/(2*math.Pi), 2.0/3)
	disc := f.width * math.Pi * bore * height * math.Sqrt(y*(1-y))
	if half == 0 || disc == 0 {
		return 0
	}
	return half * disc / math.Hypot(half, disc)
}

// ignition is the state of the end gas on its way to autoignition.
type ignition struct {
	stages int
	// rate is that of a stage, per second, from a pressure in atm and a temperature in K.
	rate [2]func(atm, kelvin float64) float64
	warm float64 // K by which the first of two stages heats the gas
}

func (e *Engine) drawFuse(r *rand.Rand) {
	arrhenius := func(tau, n, b float64) func(p, t float64) float64 {
		return func(p, t float64) float64 { return math.Pow(p/30, n) * math.Exp(-b*(1/t-1.0/800)) / tau }
	}
	switch r.IntN(3) {
	case 0: // a cool flame that heats the gas, then the hot one
		e.fuse = ignition{stages: 2, warm: between(r, 30, 120)}
		e.fuse.rate[0] = arrhenius(between(r, 1.0e-3, 2.5e-3), between(r, 0.1, 0.8), between(r, 8000, 14000))
		e.fuse.rate[1] = arrhenius(between(r, 2.0e-3, 4.0e-3), between(r, 1.2, 1.9), between(r, 2000, 5000))
	case 1: // a power of temperature
		n, k := between(r, 1.0, 1.8), between(r, 4.5, 8.5)
		e.fuse = ignition{stages: 1}
		e.fuse.rate[0] = func(p, t float64) float64 { return math.Pow(p/30, n) * math.Pow(t/800, k) / 4.4e-3 }
	default: // an activation that pressure lowers
		n, b, slope := between(r, 1.0, 1.7), between(r, 3500, 6500), between(r, 0, 40)
		e.fuse = ignition{stages: 1}
		e.fuse.rate[0] = func(p, t float64) float64 {
			return math.Pow(p/30, n) * math.Exp(-(b-slope*(p-30))*(1/t-1.0/800)) / 4.4e-3
		}
	}
}
