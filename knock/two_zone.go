package knock

import (
	"math"

	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/properties"
)

// crankState is everything at a crank angle that does not depend on the state.
type crankState struct {
	v, dv, wall float64 // m3, m3 per degree, m2
	logV, power float64 // ln V and V^-1.3
	x, dx       float64 // share burned, and its rate per degree
	growth      float64 // dx/x
}

// at fills a place; the burn starts at spark, here in degrees after top centre. A nil
// burn is none, or one that is over.
func (c *charge) at(angle, spark float64, b *burning, pl *crankState) {
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

// burning is a correlations.Wiebe burn with its exponents worked out: x = 1 - exp(-exp(log + k ln y)).
type burning struct{ log, k float64 }

// tenth is ln(1/0.9): x = 1 - exp(-tenth) is 10 % burned.
var tenth = math.Log(1 / 0.9)

// burnAngle returns the crank degrees from spark to a share burned below 1.
func burnAngle(w correlations.Wiebe, x float64) float64 {
	return w.Develop * math.Pow(-math.Log1p(-x)/tenth, 1/w.Exponent())
}

func prepared(w correlations.Wiebe) burning {
	k := w.Exponent()
	return burning{log: math.Log(tenth) - k*math.Log(w.Develop), k: k}
}

// conductance returns what the walls take per degree of crank and per kelvin, J.
// Until combustion the gas moves with the piston; then its speed grows with the
// pressure above that of the motored cylinder.
func (c *charge) conductance(ph phase, lnp, p float64, pl *crankState) float64 {
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
	return math.Exp(c.rate.Log(lnp, t))
}

// compressed is one zone of unburned gas: m cp dT = V dp - dQ, p V = m r T. g is
// what the walls take per degree and kelvin.
func (c *charge) compressed(pl *crankState, g float64, y, d *state) {
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
func (c *charge) twoZones(pl *crankState, lnp, g float64, y, d *state) {
	p, tu, tb := y[pressurePa], y[unburnedT], y[burnedT]
	var b properties.Burned
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
func (c *charge) expanding(pl *crankState, lnp, g float64, y, d *state) {
	p, tb := y[pressurePa], y[burnedT]
	var b properties.Burned
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

func (c *charge) slopes(ph phase, pl *crankState, lnp, g float64, y, d *state) {
	switch ph {
	case compression:
		c.compressed(pl, g, y, d)
	case knocking, burningOn:
		c.twoZones(pl, lnp, g, y, d)
	case expansion:
		c.expanding(pl, lnp, g, y, d)
	}
}
