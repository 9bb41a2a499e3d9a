package readings

import "math"

// kind is what a quantity measures.
type kind int

const (
	kindStatic kind = iota
	kindTotal
	kindTravel
	kindStart
	kindKnee
	kindAllIn
	kindAt     // the curve at a speed
	kindClimb  // the curve at a speed less the curve at a lower one
	kindSlope1 // mean slope of a ramp, crank degrees per rpm
	kindSlope2
	kindBend1
	kindBend2
	kindHysteresis
	kindJoin // natural logarithm of the slope after a knee over that before it, of Balance ramps
)

// quantity is one figure of one run's curve.
type figure struct {
	kind    kind
	run     int
	rpm     float64 // for kindAt and kindClimb
	from    float64 // for kindClimb, the lower speed
	falling bool    // for kindAt
}

// instant is the standard error of the speed, rpm, over which the curve's own
// corners are rounded where a profile needs a derivative there.
const instant = 3

// value returns a quantity at the parameters x and its gradient, which goes into
// g, not one of the working gradients 2 and 3.
func (l *likelihood) value(x []float64, q figure, g *gradient) float64 {
	clear(g[:l.params])
	at := &l.runs[q.run].at
	one := func(r role) float64 {
		if at[r] < 0 {
			return 0
		}
		g[at[r]] = 1
		return x[at[r]]
	}
	switch q.kind {
	case kindStatic:
		return one(roleStatic)
	case kindTotal:
		return one(roleStatic) + one(roleTravel)
	case kindTravel:
		return one(roleTravel)
	case kindBend1:
		return one(roleBend1)
	case kindBend2:
		return one(roleBend2)
	case kindHysteresis:
		return one(roleHysteresis)
	case kindAt:
		c := l.curve(x, at)
		m, _ := c.expected(q.rpm, instant, q.falling, g, &l.scratch[2])
		return m
	case kindClimb:
		low := &l.scratch[3]
		c := l.curve(x, at)
		m, _ := c.expected(q.rpm, instant, false, g, &l.scratch[2])
		below, _ := c.expected(q.from, instant, false, low, &l.scratch[2])
		for j := range l.params {
			g[j] -= low[j]
		}
		return m - below
	}
	c := l.curve(x, at)
	if c.ramps == 0 {
		return 0
	}
	first, last := &c.ramp[0], &c.ramp[c.ramps-1]
	switch q.kind {
	case kindStart:
		g[first.atA] = 1
		return first.a
	case kindKnee:
		g[first.atB] = 1
		return first.b
	case kindAllIn:
		g[last.atB] = 1
		return last.b
	}
	if q.kind == kindJoin {
		return c.join(at, g)
	}
	r, share := first, 1.0
	if c.ramps == 2 {
		share = x[at[rolePart]]
		sign := 1.0
		if q.kind == kindSlope2 {
			r, share, sign = last, 1-share, -1
		}
		g[at[rolePart]] = sign * x[at[roleTravel]] / (r.b - r.a)
	}
	slope := r.rise / (r.b - r.a)
	g[at[roleTravel]] = share / (r.b - r.a)
	g[r.atA] += slope / (r.b - r.a)
	g[r.atB] -= slope / (r.b - r.a)
	return slope
}

// join returns the natural logarithm of the slope just after the knee over that
// just before it, by the moment balance's ramps (see [Balance]), and its gradient.
func (c *curve) join(at *layout, g *gradient) float64 {
	p, q := &c.ramp[0], &c.ramp[1]
	// Slopes over the squared speed at the knee are part bend/span before and
	// (1-part)/(bend span) after.
	before, after := p.b*p.b-p.a*p.a, q.b*q.b-q.a*q.a
	g[at[rolePart]] = -1/c.part - 1/(1-c.part)
	g[p.atBend], g[q.atBend] = -1, -1
	g[p.atA] -= 2 * p.a / before
	g[p.atB] += 2 * p.b / before
	g[q.atA] += 2 * q.a / after
	g[q.atB] -= 2 * q.b / after
	return math.Log((1-c.part)/c.part*before/after) - math.Log(p.bend*q.bend)
}
