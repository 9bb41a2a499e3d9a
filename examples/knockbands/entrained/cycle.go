package entrained

import "math"

// fired is what one cycle gives. Level is how many times faster than it does the end gas
// would have to ignite to be just heard, inverted: 1 at the limit.
type fired struct{ work, level, peak, half, ninety float64 }

const degree = 1.0 // step, crank degrees

// cycle fires one charge. Two zones share one pressure and the energy
//
//	U = m_u u_u(T_u) + (p V - m_u R T_u)/(g_b - 1) - m_b q
//
// in which the burned gas's own heat capacity has gone out, so that the first law is linear
// in the new pressure once T_u is known; two rounds find both.
func (e *Engine) cycle(rpm, spark, hotter float64) fired {
	const gasConstant, wallKelvin, phi, efficiency, heatCapacity = 284.0, 425.0, 1.1, 0.94, 3.9 // the last over the gas constant
	area := math.Pi / 4 * e.bore * e.bore
	swept := area * e.stroke
	clearance := swept / (e.ratio - 1)
	volume := func(deg float64) float64 {
		s, c := math.Sincos(deg * math.Pi / 180)
		a := e.stroke / 2
		return clearance + area*(e.rod+a-a*c-math.Sqrt(e.rod*e.rod-a*a*s*s))
	}
	energy := func(t float64) float64 { // u of the unburned gas over that at 300 K: the integral of R/(g-1)
		return -gasConstant / e.gammaT * math.Log1p(-e.gammaT*(t-300)/(e.gamma0-1))
	}
	residual := e.residual(rpm)
	tu := e.warming(rpm) + hotter
	fresh := e.filling(rpm) * 99300 * swept / (gasConstant * 298)
	mass := fresh / (1 - residual)
	v := volume(-e.close)
	p := mass * gasConstant * tu / v
	// Rich by a tenth, 0.9 of the fuel finds its air. Burned gas at 300 K lies by that heat
	// below the unburned.
	q := (1-residual)/(1+14.5/phi)*44e6*0.9*efficiency + gasConstant*300/(e.gammaBurned-1)
	piston := 2 * e.stroke * rpm / 60
	seconds := degree / (6 * rpm)
	eddy := e.flame.eddy * math.Sqrt(2000/rpm)
	density0 := p / (gasConstant * tu)

	out := fired{ninety: math.NaN()}
	entrained, burned := 0.0, 0.0
	stage, progress, level := 0, 0.0, 0.0
	lit, rise := false, 0.0 // rise of pressure over the last step
	for at := -e.close; at < 125; at += degree {
		vn := volume(at + degree)
		x := burned / mass
		if !lit && at+degree > -spark {
			lit = true
			entrained = 0.004 * mass // the kernel
			burned = 0.001 * mass
		}
		if lit && x < 0.999 {
			density := p / (gasConstant * tu)
			laminar := e.flame.laminar(p, tu, residual)
			stir := e.flame.stir * piston * math.Pow(density/density0, e.flame.squeeze)
			vb := v - (mass-burned)*gasConstant*tu/p
			held := math.Max(0, vb) + (entrained-burned)/density
			front := e.flame.front(held, v, e.bore, v/area)
			inward := density * front * seconds
			late := (entrained - burned) * -math.Expm1(-seconds*laminar/eddy)
			entrained = math.Min(mass, entrained+inward*(stir+laminar))
			burned = math.Min(entrained, burned+inward*laminar+late)
		}
		xn := burned / mass
		mean := p * v / (mass * gasConstant)
		h := e.wall.at(p, piston, mean)
		surface := 2.3*area + math.Pi*e.bore*(v-clearance)/area
		loss := h * surface * (mean - wallKelvin) * seconds
		// Gas pressed into the crevices about the piston leaves its heat there.
		loss += math.Max(0, rise) * e.crevice * clearance / wallKelvin * heatCapacity * (mean - wallKelvin)
		mu := mass - burned
		gb := e.gammaBurned
		cold := h * surface * (tu - wallKelvin) * seconds / mass * (tu / mean) // J/kg from the end gas
		before := (mass*(1-x))*energy(tu) + (p*v-mass*(1-x)*gasConstant*tu)/(gb-1) - mass*x*q
		tn, pn := tu, p
		for range 3 {
			gu := e.gamma0 - e.gammaT*(tu+tn-600)/2
			tn = tu*math.Pow(pn/p, (gu-1)/gu) - cold*(gu-1)/(gu*gasConstant)
			after := before - loss - p*(vn-v)/2 - mu*energy(tn) + mu*gasConstant*tn/(gb-1) + burned*q
			pn = math.Max(after/(vn/(gb-1)+(vn-v)/2), 2e4)
			if burned == 0 { // one zone
				pn = mass * gasConstant * tn / vn
			}
		}
		out.work += (p + pn) / 2 * (vn - v)
		if level == 0 && 1-xn > e.heard(rpm) {
			warmed := 0.0
			if stage > 0 {
				warmed = e.fuse.warm
			}
			progress += seconds * e.fuse.rate[stage]((p+pn)/2/101325, (tu+tn)/2+warmed) / e.fuseScale
		} else if level == 0 {
			level = math.Max(1e-9, (float64(stage)+progress)/float64(e.fuse.stages))
		}
		for progress >= 1 && stage < e.fuse.stages-1 {
			progress, stage = progress-1, stage+1
		}
		out.peak = math.Max(out.peak, pn)
		if x < 0.5 && xn >= 0.5 {
			out.half = at + degree*(0.5-x)/(xn-x)
		}
		if x < 0.9 && xn >= 0.9 {
			out.ninety = at + degree*(0.9-x)/(xn-x)
		}
		rise, p, v, tu = pn-p, pn, vn, tn
	}
	if level == 0 {
		level = (float64(stage) + progress) / float64(e.fuse.stages)
	}
	out.level = level
	if math.IsNaN(out.ninety) {
		out.ninety = 125
	}
	return out
}
