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
	ignition   // autoignition integral
	work       // J done by the gas
	heatLoss   // J to the walls
)

// place is everything at a crank angle that does not depend on the state.
type place struct {
	v, dv, wall float64 // m3, m3 per degree, m2
	logV        float64
	motored     float64 // Pa, pressure without combustion
	x, dx       float64 // share burned, and its rate per degree
	growth      float64 // dx/x
}

// at fills a place; the burn starts at spark (degrees after top centre here).
func (c *charge) at(angle, spark float64, b *burning, pl *place) {
	pl.v, pl.dv, pl.wall = c.crank.at(angle)
	pl.logV = math.Log(pl.v)
	pl.motored = c.p0 * math.Exp(1.3*(c.logV0-pl.logV))
	pl.x, pl.dx, pl.growth = 0, 0, 0
	if y := angle - spark; y > 0 {
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
func (c *charge) conductance(lnp, p float64, pl *place) float64 {
	speed := c.piston + c.combustion*(p-pl.motored)
	return pl.wall / c.second * math.Exp(c.woschni+0.8*(lnp+math.Log(speed))-0.55*(c.logMean+lnp+pl.logV))
}

// endGas is the lowest unburned temperature that counts in the integral: below it a
// degree of crank adds less than 1e-4.
const endGas = 550.0 // K

// compressed is one zone of unburned gas: m cp dT = V dp - dQ, p V = m r T.
func (c *charge) compressed(pl *place, y, d *state) {
	p, t := y[pressurePa], y[unburnedT]
	lnp := math.Log(p)
	q := c.conductance(lnp, p, pl) * (t - c.wallKelvin)
	_, cp := c.unburned.At(t)
	d[unburnedT] = (-p*pl.dv - q) / (c.mass * (cp - c.r))
	d[pressurePa] = p * (d[unburnedT]/t - pl.dv/pl.v)
	d[burnedT] = 0
	d[ignition] = 0
	if t > endGas {
		d[ignition] = math.Exp(c.rate.log(lnp, t))
	}
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
func (c *charge) twoZones(pl *place, y, d *state, knocking bool) {
	p, tu, tb := y[pressurePa], y[unburnedT], y[burnedT]
	lnp := math.Log(p)
	var b gas.Burned
	c.mix.table.At(tb, lnp, &b)
	hu, cpu := c.unburned.At(tu)
	mb := c.mass * pl.x
	mu := c.mass - mb
	specificU, specificB := c.r*tu/p, b.R*tb/p
	vu, vb := mu*specificU, mb*specificB
	v := vu + vb
	q := c.conductance(lnp, p, pl) / v
	lossU, lossB := q*specificU*(tu-c.wallKelvin), q*specificB*(tb-c.wallKelvin) // per kg

	alpha := c.r / cpu
	beta := (b.R + tb*b.RT) / b.HT
	hp := b.HP / p
	stiffness := v - alpha*vu - beta*mb*(specificB-hp) - mb*tb*b.RP/p
	drive := -p*pl.dv + c.mass*pl.dx*(b.R*tb-c.r*tu+beta*(hu-b.H)) - alpha*mu*lossU - beta*mb*lossB
	dp := drive / stiffness

	d[pressurePa] = dp
	d[unburnedT] = (specificU*dp - lossU) / cpu
	d[burnedT] = ((specificB-hp)*dp + (hu-b.H)*pl.growth - lossB) / b.HT
	d[ignition] = 0
	if knocking {
		d[ignition] = math.Exp(c.rate.log(lnp, tu))
	}
	d[work] = p * pl.dv
	d[heatLoss] = mu*lossU + mb*lossB
}

// expanding is one zone of burned gas.
func (c *charge) expanding(pl *place, y, d *state) {
	p, tb := y[pressurePa], y[burnedT]
	lnp := math.Log(p)
	var b gas.Burned
	c.mix.table.At(tb, lnp, &b)
	v := c.mass * b.R * tb / p
	q := c.conductance(lnp, p, pl) * (tb - c.wallKelvin)
	beta := (b.R + tb*b.RT) / b.HT
	hp := c.mass * b.HP / p
	dp := (-p*pl.dv - beta*q) / (v - beta*(v-hp) - c.mass*tb*b.RP/p)
	d[pressurePa] = dp
	d[unburnedT] = 0
	d[burnedT] = ((v-hp)*dp - q) / (c.mass * b.HT)
	d[ignition] = 0
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

func (c *charge) slopes(ph phase, pl *place, y, d *state) {
	switch ph {
	case compression:
		c.compressed(pl, y, d)
	case knocking:
		c.twoZones(pl, y, d, true)
	case burningOn:
		c.twoZones(pl, y, d, false)
	case expansion:
		c.expanding(pl, y, d)
	}
}

// step is the classical fourth-order Runge-Kutta step from a to a+h. The slopes at
// its start must stand in k1; from and to are the places at its ends.
func (c *charge) step(ph phase, h float64, from, middle, to *place, y, k1 *state) {
	var k2, k3, k4, z state
	for i := range z {
		z[i] = y[i] + h/2*k1[i]
	}
	c.slopes(ph, middle, &z, &k2)
	for i := range z {
		z[i] = y[i] + h/2*k2[i]
	}
	c.slopes(ph, middle, &z, &k3)
	for i := range z {
		z[i] = y[i] + h*k3[i]
	}
	c.slopes(ph, to, &z, &k4)
	for i := range z {
		y[i] += h / 6 * (k1[i] + 2*(k2[i]+k3[i]) + k4[i])
	}
}

// compress fills the motored nodes from inlet closing to past the latest spark.
func (c *charge) compress() {
	var from, middle, to place
	y := state{pressurePa: c.p0, unburnedT: c.t0}
	angle := c.closes
	c.at(angle, math.Inf(1), nil, &from)
	c.nodes = 0
	for {
		c.motored[c.nodes] = node{angle, y}
		c.nodes++
		if angle > latestSpark || c.nodes == motoredNodes {
			return
		}
		c.at(angle+motoredStep/2, math.Inf(1), nil, &middle)
		c.at(angle+motoredStep, math.Inf(1), nil, &to)
		var k1 state
		c.compressed(&from, &y, &k1)
		c.step(compression, motoredStep, &from, &middle, &to, &y, &k1)
		angle += motoredStep
		from = to
	}
}

// motor returns the state of the unburned charge at an angle: one partial step from
// the node before it.
func (c *charge) motor(angle float64) state {
	i := min(max(int((angle-c.closes)/motoredStep), 0), c.nodes-1)
	n := &c.motored[i]
	y := n.y
	h := angle - n.angle
	var from, middle, to place
	var k1 state
	c.at(n.angle, math.Inf(1), nil, &from)
	c.at(n.angle+h/2, math.Inf(1), nil, &middle)
	c.at(angle, math.Inf(1), nil, &to)
	c.compressed(&from, &y, &k1)
	c.step(compression, h, &from, &middle, &to, &y, &k1)
	return y
}

// Steps of the burn: short behind the spark, where the burned zone is born, then
// two degrees, then longer when the burn is over the top.
const (
	birth     = 0.5 // crank degrees from spark to the first two-zone state
	burnStep  = 2.0
	lateStep  = 4.0
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

	y := c.motor(start + birth)
	angle := start + birth
	var from, middle, to place
	c.at(angle, start, &b, &from)
	c.kindle(from.x, &y)
	trace.before(c, start)
	var k1 state
	ph := knocking
	h := birth
	c.slopes(ph, &from, &y, &k1)
	for {
		trace.add(angle, &from, &y, ph)
		c.track(&out, angle, &y)
		if c.opens-angle < 1e-9 {
			break
		}
		step := math.Min(h, c.opens-angle)
		c.at(angle+step/2, start, &b, &middle)
		c.at(angle+step, start, &b, &to)
		before, slope := y, k1
		c.step(ph, step, &from, &middle, &to, &y, &k1)
		next := angle + step
		next0 := ph
		c.slopes(ph, &to, &y, &k1)
		if ph == knocking {
			c.knockInside(&out, &b, start, angle, step, last, &before, &slope, &y, &k1)
			if next >= last {
				next0 = burningOn
			}
		}
		c.peakInside(&out, angle, step, &before, &slope, &y, &k1)
		if (ph == knocking || ph == burningOn) && 1-to.x < burnt {
			c.finish(1-to.x, &y)
			next0 = expansion
		}
		if next0 != ph {
			ph = next0
			c.slopes(ph, &to, &y, &k1)
		}
		angle, from = next, to
		switch {
		case angle > lateAngle && ph != knocking:
			h = lateStep
		case h < burnStep:
			h = math.Min(2*h, burnStep)
		}
	}
	c.close(&out, &from, &y, ph)
	return out
}

// kindle burns the first share at constant volume, from one unburned zone.
func (c *charge) kindle(x float64, y *state) {
	p, tu := y[pressurePa], y[unburnedT]
	hu, cpu := c.unburned.At(tu)
	lnp := math.Log(p)
	tb := 2500.0
	var b gas.Burned
	for range 30 { // adiabatic flame: h_b = h_u
		c.mix.table.At(tb, lnp, &b)
		step := (hu - b.H) / b.HT
		tb += math.Max(-500, math.Min(500, step))
		if math.Abs(step) < 1e-8*tb {
			break
		}
	}
	v := c.mass * c.r * tu / p
	rise := x * c.mass * (b.R*tb - c.r*tu) / (v * (1 - c.r/cpu))
	y[pressurePa] += rise
	y[unburnedT] += v / (c.mass * cpu) * rise
	y[burnedT] = tb
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
func (c *charge) close(out *outcome, pl *place, y *state, ph phase) {
	out.work, out.heatLoss, out.end = y[work], y[heatLoss], *y
	if math.IsNaN(out.integral) { // the exhaust opened before 95 % had burned
		out.integral = y[ignition]
	}
	h0, _ := c.unburned.At(c.t0)
	before := c.mass * (h0 - c.r*c.t0)
	var b gas.Burned
	c.mix.table.At(y[burnedT], math.Log(y[pressurePa]), &b)
	mb := c.mass
	if ph != expansion {
		mb = c.mass * pl.x
	}
	mu := c.mass - mb
	hu, _ := c.unburned.At(y[unburnedT])
	after := mb*(b.H-b.R*y[burnedT]) + mu*(hu-c.r*y[unburnedT])
	// Energy of the fuel: what the charge would give off burnt and cooled to 300 K.
	fresh, _ := c.unburned.At(300)
	cold, _ := c.mix.products.At(300)
	out.residualLaw = (after - before + y[work] + y[heatLoss]) / (c.mass * (fresh - cold))
	out.gap = (mb*b.R*y[burnedT]+mu*c.r*y[unburnedT])/(y[pressurePa]*pl.v) - 1
	out.valid = gas.Inside(y[burnedT], y[pressurePa]) && out.peak < 2.4e7 && out.hottest < 1550 &&
		!math.IsNaN(out.work+out.integral)
}
