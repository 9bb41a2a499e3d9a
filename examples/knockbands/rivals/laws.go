package rivals

import (
	"math"
	"math/rand/v2"
)

// drawFilling draws volumetric efficiency over speed: a hump whose place and width go
// from a long-stroke engine with small ports to a sporting cam.
func (e *Engine) drawFilling(r *rand.Rand) {
	best, peak, fall := 0.78+0.1*r.Float64(), 1800+2200*r.Float64(), 0.0
	switch r.IntN(3) {
	case 0: // a parabola: mean-value models (L. Guzzella, C. H. Onder, as in a course's calibrations) have one of this shape
		e.Law.Filling = "parabola"
		fall = 0.012 + 0.012*r.Float64() // per 1000 rpm squared
		e.filling = func(n float64) float64 { x := (n - peak) / 1000; return math.Max(0.45, best-fall*x*x) }
	case 1: // flat, then the pressure loss of the ports with the square of speed (98 kPa at 1000, 92 at 4000: S. Sitthiracha)
		e.Law.Filling = "port loss"
		fall = 0.006 + 0.008*r.Float64()
		e.filling = func(n float64) float64 { x := n / 1000; return math.Max(0.45, best+0.03-fall*x*x) }
	default: // rising to a late peak
		e.Law.Filling = "late peak"
		e.filling = func(n float64) float64 {
			x := (n - peak - 600) / 1000
			return math.Max(0.45, best-0.05*(1-math.Exp(-x*x/4)))
		}
	}
}

// drawWarming draws the temperature at inlet closing: rising as an emptying-and-filling
// simulation has it, level, or falling by 13 K per 1000 rpm as a published thesis model
// (S. Sitthiracha) has it. No measurement decides.
func (e *Engine) drawWarming(r *rand.Rand) {
	at2000 := 368 + 8*r.NormFloat64()
	slope := 0.0
	switch r.IntN(3) {
	case 0:
		e.Law.Warming, slope = "rising", 6+6*r.Float64()
	case 1:
		e.Law.Warming, slope = "level", -3+8*r.Float64()
	default:
		e.Law.Warming, slope = "falling", -13+6*r.Float64()
	}
	e.warming = func(n float64) float64 { return at2000 + slope*(n-2000)/1000 }
}

// wallLaw is a heat-transfer coefficient, W/(m2 K), from bore, mean piston speed, pressure
// (Pa), mean temperature (K), volume (m3) and the rise of pressure over the motored cylinder.
type wallLaw func(bore, piston, p, t, v, rise float64) float64

func (e *Engine) drawWall(r *rand.Rand) {
	e.wallFactor = math.Exp(0.25 * r.NormFloat64())
	switch r.IntN(3) {
	case 0: // W. J. D. Annand, Proc. IMechE 177 (1963): Nu = a Re^0.7, a 0.2 to 0.8 (read in a public cylinder model), and radiation
		e.Law.Wall = "Annand"
		a := 0.4 + 0.3*r.Float64()
		e.wall = func(b, sp, p, t, _, _ float64) float64 {
			mu := 3.3e-7 * math.Pow(t, 0.7)
			k := mu * 1100 / 0.7
			return a*k/b*math.Pow(p/(287*t)*sp*b/mu, 0.7) + 4.3e-9*t*t*t/3
		}
	case 1: // G. F. Hohenberg, SAE 790825 (1979): 130 V^-0.06 p^0.8 T^-0.4 (Sp+1.4)^0.8, bar (from memory)
		e.Law.Wall = "Hohenberg"
		e.wall = func(_, sp, p, t, v, _ float64) float64 {
			return 130 * math.Pow(v, -0.06) * math.Pow(p/1e5, 0.8) * math.Pow(t, -0.4) * math.Pow(sp+1.4, 0.8)
		}
	default: // G. Eichelberg (1939): 7.8e-3 Sp^(1/3) (p T)^(1/2) kW/(m2 K), p in MPa, here W (from memory)
		e.Law.Wall = "Eichelberg"
		e.wall = func(_, sp, p, t, _, _ float64) float64 { return 2.43 * math.Cbrt(sp) * math.Sqrt(p/1e5*t) }
	}
}

// burnLaw is the share burned and the total angle of burn, crank degrees.
type burnLaw struct {
	share    func(y float64) float64   // of the share of the burn's angle, 0 to 1
	duration func(rpm float64) float64 // crank degrees, full load, half burned near best torque
	bend     float64                   // how a burn off that place slows, per square degree
}

func (e *Engine) drawBurn(r *rand.Rand) {
	class := [...]float64{1, 0.95, 1.18, 0.88}[e.Chamber] * math.Exp(0.12*r.NormFloat64())
	at2000 := 73.25 * class // S. Sitthiracha, eq. 3-6, at 2000 rpm
	e.burn.bend = 1.0e-4 + 3e-4*r.Float64()
	var speed string
	switch r.IntN(3) {
	case 0: // the same source: 58.2, 73.2, 85.0, 93.6, 101.0 degrees at 1, 2, 3, 4 and 6 thousand rpm
		speed = "polynomial"
		e.burn.duration = func(n float64) float64 {
			x := math.Min(n/1000, 6)
			return at2000 * (40.05 + x*(20.07-1.66*x)) / 73.55
		}
	case 1:
		speed = "power"
		k := 0.2 + 0.2*r.Float64()
		e.burn.duration = func(n float64) float64 { return at2000 * math.Pow(n/2000, k) }
	default:
		speed = "linear"
		k := 0.08 + 0.1*r.Float64()
		e.burn.duration = func(n float64) float64 { return at2000 * (1 + k*(n-2000)/1000) }
	}
	switch r.IntN(3) {
	case 0:
		m := 1.7 + 0.9*r.Float64()
		e.Law.Burn = "Wiebe, " + speed
		e.burn.share = func(y float64) float64 { return -math.Expm1(-5 * math.Pow(y, m+1)) }
	case 1: // cosine burn, a tenth less angle for the same middle
		e.Law.Burn = "cosine, " + speed
		e.burn.share = func(y float64) float64 { return (1 - math.Cos(math.Pi*math.Min(1, y/0.98))) / 2 }
	default: // a tenth of the charge burns late
		e.Law.Burn = "slow tail, " + speed
		e.burn.share = func(y float64) float64 {
			return -0.9*math.Expm1(-6*math.Pow(y, 3.1)) - 0.1*math.Expm1(-2.2*math.Pow(y, 3))
		}
	}
}

// delayLaw is an autoignition delay but for its level, s, from a pressure in atm and a
// temperature in K.
type delayLaw func(atm, kelvin float64) float64

func (e *Engine) drawDelay(r *rand.Rand) {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	arrhenius := func(n, b float64) delayLaw {
		return func(p, t float64) float64 { return 4.4e-3 * math.Pow(p/30, -n) * math.Exp(b*(1/t-1.0/800)) }
	}
	switch k := r.IntN(10); {
	case k < 2: // three stages with a negative temperature coefficient between them, the form of A. D. B. Yates et al., SAE 2005-01-2083 (from memory; constants drawn here)
		e.Law.Delay = "negative coefficient"
		low, plateau, high := between(9000, 14000), between(-9000, -5000), between(13000, 16000)
		nLow, nPlateau := between(0, 0.4), between(1.5, 2.2)
		late := between(0.5, 1.0)
		e.delay = func(p, t float64) float64 {
			x := p / 30
			first := 0.45 * math.Pow(x, -nLow) * math.Exp(low*(1/t-1.0/800))
			second := 0.55 * math.Pow(x, -nPlateau) * math.Exp(plateau*(1/t-1.0/800))
			third := late / x * math.Exp(high*(1/t-1.0/1000))
			return 4.4e-3 / (1/(first+second) + 1/third)
		}
	case k < 5: // A. M. Douaud, P. Eyzat, SAE 780080 (1978)
		e.Law.Delay = "Douaud and Eyzat"
		e.delay = arrhenius(1.7, 3800)
	case k < 8: // the range of published single Arrhenius fits for gasoline: exponents 1.0 to 1.9, 3000 to 6000 K (from memory)
		e.Law.Delay = "other Arrhenius"
		e.delay = arrhenius(between(1.0, 1.9), between(3000, 6000))
	default: // a gasoline of high sensitivity: weak in pressure, strong in temperature
		e.Law.Delay = "sensitive fuel"
		e.delay = arrhenius(between(0.9, 1.3), between(5000, 7500))
	}
}
