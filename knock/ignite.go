package knock

import (
	"math"

	"example.org/bobweight/knock/internal/properties"
)

// ignite burns the first share x at constant volume and energy, out of one unburned
// zone. The rest is compressed isentropically; the burned zone takes what energy is
// left, and the pressure is the one at which both fill the cylinder.
func (c *charge) ignite(x float64, y *state) {
	p, tu := y[pressurePa], y[unburnedT]
	hu, cpu := c.unburned.At(tu)
	v := c.r * tu / p // per kg of charge, as all below
	energy := hu - c.r*tu
	tb := c.flameKelvin(hu, math.Log(p))
	if x < 1e-9 {
		y[burnedT] = tb
		return
	}
	var b properties.Burned
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
	var b properties.Burned
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

// burnOut burns the last share at constant volume, into one burned zone.
func (c *charge) burnOut(share float64, y *state) {
	p, tu, tb := y[pressurePa], y[unburnedT], y[burnedT]
	hu, _ := c.unburned.At(tu)
	var b properties.Burned
	c.mix.table.At(tb, math.Log(p), &b)
	dm := c.mass * share
	v := c.mass * b.R * tb / p
	beta := (b.R + tb*b.RT) / b.HT
	hp := c.mass * b.HP / p
	rise := dm * (b.R*tb - c.r*tu + beta*(hu-b.H)) / (v - beta*(v-hp) - c.mass*tb*b.RP/p)
	y[pressurePa] += rise
	y[burnedT] += ((v-hp)*rise + (hu-b.H)*dm) / (c.mass * b.HT)
}
