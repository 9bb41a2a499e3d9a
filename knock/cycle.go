package knock

import (
	"math"

	"example.org/bobweight/knock/gas"
)

// state is what the cycle integrates over crank angle.
type state [6]float64

const (
	pressurePa = iota
	unburnedT  // K
	burnedT    // K
	work       // J done by the gas
	heatLoss   // J to the walls
	ignition   // autoignition integral, last: nothing depends on it
)

// place is everything at a crank angle that does not depend on the state.
type place struct {
	v, dv, wall float64 // m3, m3 per degree, m2
	logV, power float64 // ln V and V^-1.3
	x, dx       float64 // share burned, and its rate per degree
	growth      float64 // dx/x
}

// at fills a place; the burn starts at spark, here in degrees after top centre. A nil
// burn is none, or one that is over.
func (c *charge) at(angle, spark float64, b *burning, pl *place) {
	c.path.at(angle, pl)
	pl.x, pl.dx, pl.growth = 0, 0, 0
	if y := angle - spark; y > 0 && b != nil {
		e := math.Exp(b.log + b.k*math.Log(y))
		left := math.Exp(-e)
		pl.x = 1 - left
		pl.dx = b.k * e / y * left
		pl.growth = pl.dx / pl.x
	}
}

// burning is a Wiebe burn with its exponents worked out: x = 1 - exp(-exp(log + k ln y)).
type burning struct{ log, k float64 }

func (w Wiebe) prepared() burning {
	k := w.Exponent()
	return burning{log: math.Log(tenth) - k*math.Log(w.Develop), k: k}
}

// conductance returns what the walls take per degree of crank and per kelvin, J.
// Until combustion the gas moves with the piston; then its speed grows with the
// pressure above that of the motored cylinder.
func (c *charge) conductance(ph phase, lnp, p float64, pl *place) float64 {
	speed := c.logPiston
	if ph != compression {
		speed = math.Log(c.piston + c.combustion*(p-c.motoredScale*pl.power))
	}
	return pl.wall / c.second * math.Exp(c.woschni+0.8*(lnp+speed)-0.55*(c.logMean+lnp+pl.logV))
}

// igniting returns the rate of the autoignition integral per degree.
func (c *charge) igniting(ph phase, lnp, t float64) float64 {
	if ph > knocking {
		return 0
	}
	return math.Exp(c.rate.log(lnp, t))
}

// compressed is one zone of unburned gas: m cp dT = V dp - dQ, p V = m r T. g is
// what the walls take per degree and kelvin.
func (c *charge) compressed(pl *place, g float64, y, d *state) {
	p, t := y[pressurePa], y[unburnedT]
	q := g * (t - c.wallKelvin)
	_, cp := c.unburned.At(t)
	d[unburnedT] = (-p*pl.dv - q) / (c.mass * (cp - c.r))
	d[pressurePa] = p * (d[unburnedT]/t - pl.dv/pl.v)
	d[work] = p * pl.dv
	d[heatLoss] = q
}

// twoZones is unburned gas with a mass that shrinks and burned gas with one that
// grows, at one pressure:
//
//	unburned  m_u cp_u dT_u = V_u dp - dQ_u
//	burned    m_b dh_b = V_b dp - dQ_b + (h_u - h_b) dm_b
//	together  V_u + V_b = V
//
// The volume, differentiated, gives dp. Wall area is shared as volume is.
func (c *charge) twoZones(pl *place, lnp, g float64, y, d *state) {
	p, tu, tb := y[pressurePa], y[unburnedT], y[burnedT]
	var b gas.Burned
	c.mix.table.At(tb, lnp, &b)
	hu, cpu := c.unburned.At(tu)
	mb := c.mass * pl.x
	mu := c.mass - mb
	perP := 1 / p
	specificU, specificB := c.r*tu*perP, b.R*tb*perP
	vu, vb := mu*specificU, mb*specificB
	v := vu + vb
	q := g / v
	lossU, lossB := q*specificU*(tu-c.wallKelvin), q*specificB*(tb-c.wallKelvin) // per kg

	perCp, perHT := 1/cpu, 1/b.HT
	alpha := c.r * perCp
	beta := (b.R + tb*b.RT) * perHT
	hp := b.HP * perP
	stiffness := v - alpha*vu - beta*mb*(specificB-hp) - mb*tb*b.RP*perP
	drive := -p*pl.dv + c.mass*pl.dx*(b.R*tb-c.r*tu+beta*(hu-b.H)) - alpha*mu*lossU - beta*mb*lossB
	dp := drive / stiffness

	d[pressurePa] = dp
	d[unburnedT] = (specificU*dp - lossU) * perCp
	d[burnedT] = ((specificB-hp)*dp + (hu-b.H)*pl.growth - lossB) * perHT
	d[work] = p * pl.dv
	d[heatLoss] = mu*lossU + mb*lossB
}

// expanding is one zone of burned gas.
func (c *charge) expanding(pl *place, lnp, g float64, y, d *state) {
	p, tb := y[pressurePa], y[burnedT]
	var b gas.Burned
	c.mix.table.At(tb, lnp, &b)
	v := c.mass * b.R * tb / p
	q := g * (tb - c.wallKelvin)
	beta := (b.R + tb*b.RT) / b.HT
	hp := c.mass * b.HP / p
	dp := (-p*pl.dv - beta*q) / (v - beta*(v-hp) - c.mass*tb*b.RP/p)
	d[pressurePa] = dp
	d[unburnedT] = 0
	d[burnedT] = ((v-hp)*dp - q) / (c.mass * b.HT)
	d[work] = p * pl.dv
	d[heatLoss] = q
}

// phase picks the equations of a step.
type phase int

const (
	compression phase = iota
	knocking          // two zones, the integral running
	burningOn         // two zones past the end of the integral
	expansion
)

func (c *charge) slopes(ph phase, pl *place, lnp, g float64, y, d *state) {
	switch ph {
	case compression:
		c.compressed(pl, g, y, d)
	case knocking, burningOn:
		c.twoZones(pl, lnp, g, y, d)
	case expansion:
		c.expanding(pl, lnp, g, y, d)
	}
}

// stepper carries a state along the crank: the state, its slopes, and two numbers
// that cost a logarithm and are handed from step to step.
type stepper struct {
	ph      phase
	y, k1   state
	lnp, g  float64
	current place
}

// begin readies a stepper at a place.
func (c *charge) begin(s *stepper) {
	s.lnp = math.Log(s.y[pressurePa])
	s.g = c.conductance(s.ph, s.lnp, s.y[pressurePa], &s.current)
	c.slopes(s.ph, &s.current, s.lnp, s.g, &s.y, &s.k1)
	s.k1[ignition] = c.igniting(s.ph, s.lnp, s.y[unburnedT])
}

// step is the classical fourth-order Runge-Kutta step of h degrees. The wall
// conductance is worked out once in the middle and once at the end, where the inner
// states agree to second order and better; the autoignition integral, on which
// nothing depends, is Simpson's rule over the same states.
func (c *charge) step(s *stepper, h float64, middle, to *place) {
	var k2, k3, k4, z state
	y, k1 := &s.y, &s.k1
	p0 := y[pressurePa]
	half := h / 2
	for i := range ignition {
		z[i] = y[i] + half*k1[i]
	}
	lnp := s.lnp + lnRatio(z[pressurePa], p0)
	g := c.conductance(s.ph, lnp, z[pressurePa], middle)
	c.slopes(s.ph, middle, lnp, g, &z, &k2)
	meanLnp, meanT := lnp, z[unburnedT]
	for i := range ignition {
		z[i] = y[i] + half*k2[i]
	}
	lnp = s.lnp + lnRatio(z[pressurePa], p0)
	c.slopes(s.ph, middle, lnp, g, &z, &k3)
	// The two inner states in the middle err by the same second-order term with
	// opposite signs: their mean is the state there.
	between := c.igniting(s.ph, (meanLnp+lnp)/2, (meanT+z[unburnedT])/2)
	for i := range ignition {
		z[i] = y[i] + h*k3[i]
	}
	lnp = s.lnp + lnRatio(z[pressurePa], p0)
	s.g = c.conductance(s.ph, lnp, z[pressurePa], to)
	c.slopes(s.ph, to, lnp, s.g, &z, &k4)
	sixth := h / 6
	for i := range y {
		y[i] += sixth * (k1[i] + 2*(k2[i]+k3[i]) + k4[i])
	}
	if s.ph == compression { // one zone: the gas law holds exactly
		y[pressurePa] = c.mass * c.r * y[unburnedT] / to.v
	}
	s.lnp += lnRatio(y[pressurePa], p0)
	c.slopes(s.ph, to, s.lnp, s.g, y, k1)
	k1[ignition] = c.igniting(s.ph, s.lnp, y[unburnedT])
	// The weights above found zeros in the place of the integral, but for its start.
	y[ignition] += sixth * (4*between + k1[ignition])
	s.current = *to
}

// lnRatio returns ln(p/q) for pressures of one step, less than a factor 1.5 apart:
// 2 artanh z to the ninth power, error below 1e-8.
func lnRatio(p, q float64) float64 {
	z := (p - q) / (p + q)
	w := z * z
	return 2 * z * (1 + w*(1.0/3+w*(1.0/5+w*(1.0/7+w*(1.0/9)))))
}

// compress fills the motored nodes from inlet closing to past the latest spark.
func (c *charge) compress() {
	var middle, to place
	s := stepper{ph: compression, y: state{pressurePa: c.p0, unburnedT: c.t0}}
	angle := c.closes
	c.at(angle, 0, nil, &s.current)
	c.begin(&s)
	for c.nodes = 0; c.nodes < motoredNodes; {
		c.motored[c.nodes] = node{angle, s}
		c.nodes++
		if angle > latestSpark {
			return
		}
		c.at(angle+motoredStep/2, 0, nil, &middle)
		c.at(angle+motoredStep, 0, nil, &to)
		c.step(&s, motoredStep, &middle, &to)
		angle += motoredStep
	}
}

// motor returns the state of the unburned charge at an angle: one partial step from
// the node before it.
func (c *charge) motor(angle float64) state {
	i := min(max(int((angle-c.closes)/motoredStep), 0), c.nodes-1)
	s := c.motored[i].stepper
	h := angle - c.motored[i].angle
	var middle, to place
	c.at(c.motored[i].angle+h/2, 0, nil, &middle)
	c.at(angle, 0, nil, &to)
	c.step(&s, h, &middle, &to)
	return s.y
}

// Steps of the burn: short behind the spark, where the burned zone is born, then
// two degrees, then longer when the burn is over the top.
const (
	birth     = 0.5 // crank degrees from spark to the first two-zone state
	burnStep  = 1.8
	lateStep  = 3.0
	lateAngle = 55.0 // crank degrees after top centre
	burnt     = 1e-5 // unburned share that burns at once at the end
)

// outcome is one fired cycle.
type outcome struct {
	work, heatLoss float64 // J from inlet closing to exhaust opening
	peak, peakAt   float64 // Pa, crank degrees after top centre
	integral       float64 // autoignition integral when 95 % has burned
	onset          float64 // crank degrees after top centre where it reached 1, NaN if never
	onsetUnburned  float64 // share of the charge not yet burned there
	end            state   // at exhaust opening
	residualLaw    float64 // first-law residual over the energy of the fuel
	gap            float64 // volume of the zones over the cylinder's, minus one
	half           float64 // crank degrees after top centre, half burned
	hottest        float64 // K, highest end-gas temperature before 95 %
	valid          bool    // inside the property tables
}

const consumed = 0.95 // share burned at which the end gas no longer knocks

// fire runs one cycle with a spark in crank degrees before top centre. It allocates
// nothing. The trace, when given, receives a sample at each step.
func (c *charge) fire(spark float64, trace *Trace) outcome {
	w := c.burn(spark)
	b := w.prepared()
	start := -spark
	last := start + w.angle(consumed)
	out := outcome{onset: math.NaN(), half: start + w.angle(0.5), integral: math.NaN()}

	angle := start + birth
	s := stepper{ph: knocking, y: c.motor(angle)}
	c.at(angle, start, &b, &s.current)
	c.kindle(s.current.x, &s.y)
	c.begin(&s)
	trace.before(c, start)
	var middle, to place
	h := birth
	for {
		trace.add(angle, &s)
		c.track(&out, angle, &s.y)
		if c.opens-angle < 1e-9 {
			break
		}
		step := math.Min(h, c.opens-angle)
		shape := &b
		if s.ph == expansion {
			shape = nil
		}
		c.at(angle+step/2, start, shape, &middle)
		c.at(angle+step, start, shape, &to)
		before, slope := s.y, s.k1
		c.step(&s, step, &middle, &to)
		if s.ph == knocking {
			c.knockInside(&out, &b, start, angle, step, last, &before, &slope, &s.y, &s.k1)
		}
		c.peakInside(&out, angle, step, &before, &slope, &s.y, &s.k1)
		angle += step
		switch {
		case s.ph != expansion && 1-to.x < burnt:
			c.finish(1-to.x, &s.y)
			s.ph = expansion
			c.begin(&s)
		case s.ph == knocking && angle >= last:
			s.ph = burningOn
		}
		switch {
		case angle > lateAngle && s.ph != knocking:
			h = lateStep
		case h < burnStep:
			h = math.Min(2*h, burnStep)
		}
	}
	c.close(&out, &s)
	return out
}

// kindle burns the first share x at constant volume and energy, out of one unburned
// zone. The rest is compressed isentropically; the burned zone takes what energy is
// left, and the pressure is the one at which both fill the cylinder.
func (c *charge) kindle(x float64, y *state) {
	p, tu := y[pressurePa], y[unburnedT]
	hu, cpu := c.unburned.At(tu)
	v := c.r * tu / p // per kg of charge, as all below
	energy := hu - c.r*tu
	tb := c.flameKelvin(hu, math.Log(p))
	if x < 1e-9 {
		y[burnedT] = tb
		return
	}
	var b gas.Burned
	q := p
	for range 50 {
		lnq := math.Log(q)
		t := tu * math.Exp(c.r/cpu*math.Log(q/p))
		_, cp := c.unburned.At(t)
		t = tu * math.Exp(2*c.r/(cp+cpu)*math.Log(q/p)) // with the mean heat capacity
		h, cp := c.unburned.At(t)
		want := (energy - (1-x)*(h-c.r*t)) / x
		for range 30 {
			c.mix.table.At(tb, lnq, &b)
			step := (want - b.H + b.R*tb) / (b.HT - b.R - tb*b.RT)
			tb += math.Max(-500, math.Min(500, step))
			if math.Abs(step) < 1e-9*tb {
				break
			}
		}
		// Volume missing, and its slope over pressure for the unburned share at
		// constant entropy and the burned at constant energy.
		miss := ((1-x)*c.r*t + x*b.R*tb) / q
		move := q * (miss - v) / ((1-x)*c.r*t/q*(1-c.r/cp) + x*b.R*tb/q)
		y[unburnedT], y[burnedT], y[pressurePa] = t, tb, q
		if math.Abs(move) < 1e-11*q {
			return
		}
		q += move
	}
}

// flameKelvin is the temperature of a flame at constant pressure, burned gas of enthalpy h.
func (c *charge) flameKelvin(h, lnp float64) float64 {
	t := 2500.0
	var b gas.Burned
	for range 40 {
		c.mix.table.At(t, lnp, &b)
		step := (h - b.H) / b.HT
		t += math.Max(-500, math.Min(500, step))
		if math.Abs(step) < 1e-9*t {
			break
		}
	}
	return t
}

// finish burns the last share at constant volume, into one burned zone.
func (c *charge) finish(share float64, y *state) {
	p, tu, tb := y[pressurePa], y[unburnedT], y[burnedT]
	hu, _ := c.unburned.At(tu)
	var b gas.Burned
	c.mix.table.At(tb, math.Log(p), &b)
	dm := c.mass * share
	v := c.mass * b.R * tb / p
	beta := (b.R + tb*b.RT) / b.HT
	hp := c.mass * b.HP / p
	rise := dm * (b.R*tb - c.r*tu + beta*(hu-b.H)) / (v - beta*(v-hp) - c.mass*tb*b.RP/p)
	y[pressurePa] += rise
	y[burnedT] += ((v-hp)*rise + (hu-b.H)*dm) / (c.mass * b.HT)
}

// track keeps what only needs looking at the ends of steps.
func (c *charge) track(out *outcome, angle float64, y *state) {
	if y[pressurePa] > out.peak {
		out.peak, out.peakAt = y[pressurePa], angle
	}
}

// cubic is the Hermite cubic over a step, s from 0 to 1.
func cubic(f0, f1, d0, d1, s float64) float64 {
	return f0 + s*(d0+s*(3*(f1-f0)-2*d0-d1+s*(2*(f0-f1)+d0+d1)))
}

// peakInside looks for the pressure's maximum inside a step.
func (c *charge) peakInside(out *outcome, angle, h float64, y0, d0, y1, d1 *state) {
	if !(d0[pressurePa] > 0 && d1[pressurePa] <= 0) {
		return
	}
	// The slope falls through zero once; bisection on the cubic's derivative.
	f0, f1, a, b := y0[pressurePa], y1[pressurePa], h*d0[pressurePa], h*d1[pressurePa]
	lo, hi := 0.0, 1.0
	for range 40 {
		s := (lo + hi) / 2
		if a+s*(2*(3*(f1-f0)-2*a-b)+s*3*(2*(f0-f1)+a+b)) > 0 {
			lo = s
		} else {
			hi = s
		}
	}
	if p := cubic(f0, f1, a, b, lo); p > out.peak {
		out.peak, out.peakAt = p, angle+lo*h
	}
}

// knockInside follows the integral through a step: where it passes one, and what it
// is when the end gas is consumed.
func (c *charge) knockInside(out *outcome, b *burning, start, angle, h, last float64, y0, d0, y1, d1 *state) {
	f0, f1, a, d := y0[ignition], y1[ignition], h*d0[ignition], h*d1[ignition]
	end := 1.0
	if angle+h >= last {
		end = (last - angle) / h
		out.integral = cubic(f0, f1, a, d, end)
	}
	out.hottest = math.Max(out.hottest, y1[unburnedT])
	if f0 < 1 && cubic(f0, f1, a, d, end) >= 1 {
		lo, hi := 0.0, end
		for range 45 {
			if s := (lo + hi) / 2; cubic(f0, f1, a, d, s) < 1 {
				lo = s
			} else {
				hi = s
			}
		}
		out.onset = angle + hi*h
		out.onsetUnburned = math.Exp(-math.Exp(b.log + b.k*math.Log(out.onset-start)))
	}
}

// close balances the books at exhaust opening.
func (c *charge) close(out *outcome, s *stepper) {
	y := &s.y
	out.work, out.heatLoss, out.end = y[work], y[heatLoss], *y
	if math.IsNaN(out.integral) { // the exhaust opened before 95 % had burned
		out.integral = y[ignition]
	}
	h0, _ := c.unburned.At(c.t0)
	before := c.mass * (h0 - c.r*c.t0)
	var b gas.Burned
	c.mix.table.At(y[burnedT], math.Log(y[pressurePa]), &b)
	mb := c.mass
	if s.ph != expansion {
		mb = c.mass * s.current.x
	}
	mu := c.mass - mb
	hu, _ := c.unburned.At(y[unburnedT])
	after := mb*(b.H-b.R*y[burnedT]) + mu*(hu-c.r*y[unburnedT])
	// Energy of the fuel: what the charge would give off burnt and cooled to 300 K.
	fresh, _ := c.unburned.At(300)
	cold, _ := c.mix.products.At(300)
	out.residualLaw = (after - before + y[work] + y[heatLoss]) / (c.mass * (fresh - cold))
	out.gap = (mb*b.R*y[burnedT]+mu*c.r*y[unburnedT])/(y[pressurePa]*s.current.v) - 1
	out.valid = gas.Inside(y[burnedT], y[pressurePa]) && out.peak < 2.4e7 && out.hottest < 1550 &&
		!math.IsNaN(out.work+out.integral)
}
