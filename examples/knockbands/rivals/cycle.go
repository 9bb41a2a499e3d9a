package rivals

import "math"

// fired is what one cycle gives.
type fired struct{ work, integral, peak, peakAt, half float64 }

const degree = 1.0 // step, crank degrees

// cycle burns one charge in one zone: dp/dtheta from the first law with a ratio of heat
// capacities that goes from the unburned gas's to 1.25 with the share burned; the end gas
// is compressed isentropically and loses its share of the wall heat; the autoignition
// integral of J. C. Livengood and P. C. Wu runs along it until little end gas is left.
func (e *Engine) cycle(rpm, spark float64) fired {
	area := math.Pi / 4 * e.Bore * e.Bore
	swept := area * e.Stroke
	clearance := swept / (e.Ratio - 1)
	volume := func(deg float64) float64 {
		s, c := math.Sincos(deg * math.Pi / 180)
		a := e.Stroke / 2
		return clearance + area*(e.Rod+a-a*c-math.Sqrt(e.Rod*e.Rod-a*a*s*s))
	}
	const gasConstant, wallKelvin, phi = 283.0, 420.0, 1.1
	t := e.warming(rpm)
	fresh := e.filling(rpm) * 99300 * swept / (gasConstant * 298)
	mass := fresh / (1 - e.residual)
	v := volume(-e.InletClose)
	p := mass * gasConstant * t / v
	// Rich by a tenth, 0.9 of the fuel finds its air; a twentieth is lost to crevices and
	// dissociation still felt at exhaust opening.
	heat := fresh / (1 + 14.5/phi) * 44e6 * 0.9 * 0.95
	p0, v0 := p, v
	total := e.burn.duration(rpm)
	half := spark
	for y := 0.0; y < 1; y += 0.01 { // where half has burned, for the bend
		if e.burn.share(y) >= 0.5 {
			half = y*total - spark
			break
		}
	}
	off := half - 8
	total *= 1 + e.burn.bend*off*off
	piston := 2 * e.Stroke * rpm / 60
	seconds := degree / (6 * rpm)
	out := fired{}
	x, done := 0.0, false
	for at := -e.InletClose; at < 125; at += degree {
		next := at + degree
		vn := volume(next)
		xn := 0.0
		if y := (next + spark) / total; y > 0 {
			xn = math.Min(1, e.burn.share(math.Min(y, 1.6)))
		}
		if x < 0.5 && xn >= 0.5 {
			out.half = next - degree*(xn-0.5)/(xn-x)
		}
		mean := p * v / (mass * gasConstant)
		motored := p0 * math.Pow(v0/v, 1.32)
		surface := 2.3*area + math.Pi*e.Bore*(v-clearance)/area
		h := e.wallFactor * e.wall(e.Bore, piston, p, mean, v, math.Max(0, p-motored))
		loss := h * surface * (mean - wallKelvin) * seconds
		gu := e.gamma0 - e.gammaT*(t-300)
		g := gu + (1.25-gu)*(x+xn)/2
		// The step in volume isentropic, the heat at constant volume.
		pn := p*math.Pow(v/vn, g) + (g-1)*((xn-x)*heat-loss)/((v+vn)/2)
		pn = math.Max(pn, 2e4)
		out.work += (p + pn) / 2 * (vn - v)
		// End gas.
		tn := t * math.Pow(pn/p, (gu-1)/gu)
		cp := gu / (gu - 1) * gasConstant
		tn -= h * surface * (t - wallKelvin) * seconds / (mass * cp) * (t / mean)
		if !done {
			if xn > e.consumed {
				done = true
			} else {
				tau := e.delayScale * e.delay((p+pn)/2/101325, (t+tn)/2)
				out.integral += seconds / tau
			}
		}
		if pn > out.peak {
			out.peak, out.peakAt = pn, next
		}
		p, v, t, x = pn, vn, tn, xn
	}
	return out
}
