package readings

import "math"

// role is the part that a parameter plays in one run's curve.
type role int

const (
	roleStatic     role = iota // plateau below the start, crank degrees
	roleTravel                 // rise from plateau to plateau, crank degrees
	rolePart                   // share of the travel that the first of two ramps has
	roleStart                  // speeds of the ends of the ramps, rpm
	roleKnee                   //
	roleAllIn                  //
	roleBend1                  // logarithms of the bends of the ramps
	roleBend2                  //
	roleHysteresis             // rpm by which falling readings lag
	roles
)

// blunderWidth is how many times wider the errors of blunders spread than those
// of good readings.
const blunderWidth = 10

// narrowest is the least width of a ramp in rpm. A tachometer cannot tell a
// steeper one from it.
const narrowest = 10

// layout says which parameter of the vector plays which role; -1 where none does.
type layout [roles]int

// observed is one reading with its errors filled in.
type observed struct {
	rpm, deg, sigmaRPM, sigmaDeg float64
	falling                      bool
}

// series is the readings of one run under one layout.
type series struct {
	obs []observed
	at  layout
}

// gradient is a derivative by the parameter vector.
type gradient [maxParams]float64

// likelihood is minus twice the logarithm of the likelihood of all readings, as
// a sum of squares for the fitting core: for each reading one residual from its
// error and one from the logarithm of its variance, then the priors and facts,
// then the pin of a profile.
type likelihood struct {
	shape    Shape
	slopes   int // 1 or 2 ramps, 0 for a level line
	params   int
	blunders float64
	runs     []series
	priors   []pin
	pin      *pin
}

// pin holds a quantity of the curve at a value, with a standard error.
type pin struct {
	q            quantity
	value, sigma float64
}

// Size is part of the fitting core's Problem.
func (l *likelihood) Size() (residuals, parameters int) {
	n := len(l.priors)
	for i := range l.runs {
		n += 2 * len(l.runs[i].obs)
	}
	if l.pin != nil {
		n++
	}
	return n, l.params
}

// Evaluate is part of the fitting core's Problem.
func (l *likelihood) Evaluate(x, r, jac []float64) {
	row := 0
	put := func(value float64, g *gradient, factor float64) {
		r[row] = value
		if jac != nil {
			for j := range l.params {
				jac[row*l.params+j] = factor * g[j]
			}
		}
		row++
	}
	var mean, slope gradient
	for i := range l.runs {
		run := &l.runs[i]
		for _, o := range run.obs {
			m, s := l.expected(x, &run.at, o.rpm, o.sigmaRPM, o.falling, &mean, &slope)
			v := o.sigmaDeg*o.sigmaDeg + o.sigmaRPM*o.sigmaRPM*s*s
			root := math.Sqrt(v)
			z := (o.deg - m) / root
			value, dz := l.contaminated(z)
			// dz = -dm/sqrt(v) - z dv/(2 v), dv = 2 sigma^2 s ds.
			dv := 2 * o.sigmaRPM * o.sigmaRPM * s
			var g gradient
			for j := range l.params {
				g[j] = -mean[j]/root - z*dv*slope[j]/(2*v)
			}
			put(value, &g, dz)
			spread := math.Sqrt(math.Log(v / (o.sigmaDeg * o.sigmaDeg)))
			factor := o.sigmaRPM / o.sigmaDeg // the limit at slope 0
			if spread > 1e-6 {
				factor = dv / (2 * v * spread)
			}
			put(spread, &slope, factor)
		}
	}
	for i := range l.priors {
		l.putPin(x, &l.priors[i], put)
	}
	if l.pin != nil {
		l.putPin(x, l.pin, put)
	}
}

func (l *likelihood) putPin(x []float64, p *pin, put func(float64, *gradient, float64)) {
	var g gradient
	v := l.value(x, p.q, &g)
	put((v-p.value)/p.sigma, &g, 1/p.sigma)
}

// contaminated is the signed root of minus twice the log density ratio of a
// standardised error z under the contaminated normal law, and its derivative.
func (l *likelihood) contaminated(z float64) (value, derivative float64) {
	good, bad := 1-l.blunders, l.blunders/blunderWidth
	const narrow = 1.0 / (blunderWidth * blunderWidth)
	e := good * math.Exp(-z*z/2*(1-narrow))
	p := e / (e + bad) // probability that the reading is good
	weight := p + (1-p)*narrow
	if math.Abs(z) < 1e-4 {
		g := math.Sqrt(weight)
		return g * z, g
	}
	rho := z*z*narrow - 2*math.Log((e+bad)/(good+bad))
	value = math.Copysign(math.Sqrt(rho), z)
	return value, z * weight / value
}

// blunder is the probability that a standardised error z is a blunder's.
func (l *likelihood) blunder(z float64) float64 {
	const narrow = 1.0 / (blunderWidth * blunderWidth)
	e := (1 - l.blunders) * math.Exp(-z*z/2*(1-narrow))
	bad := l.blunders / blunderWidth
	return bad / (e + bad)
}

// ramp is one ramp at the parameters x: its ends, bend and rise, and the places
// of its parameters.
type ramp struct {
	a, b, bend, rise float64
	atA, atB, atBend int
}

// ramps writes the ramps of a layout into dst and returns their number. Ends
// that would meet or cross are held narrowest apart; the parameter that lost its
// say passes it to the one that pushes.
func (l *likelihood) ramps(x []float64, at *layout, dst *[2]ramp) int {
	travel := 0.0
	if l.slopes > 0 {
		travel = x[at[roleTravel]]
	}
	bend := func(r role) (float64, int) {
		if at[r] < 0 {
			return 1, -1
		}
		return math.Exp(x[at[r]]), at[r]
	}
	after := func(a float64, atA int, r role) (float64, int) {
		if b := x[at[r]]; b > a+narrowest {
			return b, at[r]
		}
		return a + narrowest, atA
	}
	switch l.slopes {
	case 1:
		r := &dst[0]
		r.rise = travel
		r.a, r.atA = x[at[roleStart]], at[roleStart]
		r.b, r.atB = after(r.a, r.atA, roleAllIn)
		r.bend, r.atBend = bend(roleBend1)
	case 2:
		p, q := &dst[0], &dst[1]
		p.rise = travel * x[at[rolePart]]
		q.rise = travel - p.rise
		p.a, p.atA = x[at[roleStart]], at[roleStart]
		p.b, p.atB = after(p.a, p.atA, roleKnee)
		p.bend, p.atBend = bend(roleBend1)
		q.a, q.atA = p.b, p.atB
		q.b, q.atB = after(q.a, q.atA, roleAllIn)
		q.bend, q.atBend = bend(roleBend2)
	}
	return l.slopes
}

// expected is the curve at a speed known with standard error sigma, averaged
// over the true speeds, and its slope over the speed; with sigma zero it is the
// curve itself. The gradients by the parameters go into dm and ds.
//
// The average is that of the speed c held between the ends of a ramp: with
// za = (n-a)/sigma and the standard normal law,
//
//	E c = a + sigma [h(za) - h(zb)],  h(z) = z Phi(z) + phi(z),
//
// and the slope dEc/dn = Phi(za) - Phi(zb). Within a ramp the curve is so nearly
// straight over sigma that its value at E c is its average.
func (l *likelihood) expected(x []float64, at *layout, n, sigma float64, falling bool, dm, ds *gradient) (m, s float64) {
	clear(dm[:l.params])
	clear(ds[:l.params])
	m = x[at[roleStatic]]
	dm[at[roleStatic]] = 1
	lag := -1
	if falling && at[roleHysteresis] >= 0 {
		lag = at[roleHysteresis]
		n += x[lag]
	}
	var rs [2]ramp
	curvature := 0.0
	for i := range l.ramps(x, at, &rs) {
		r := &rs[i]
		ca, fa, qa := held(n-r.a, sigma)
		cb, fb, qb := held(n-r.b, sigma)
		c := math.Min(r.a+ca-cb, r.b)
		in := fa - fb
		t := l.shape.rise(c, r.a, r.b, r.bend)
		m += r.rise * t.t
		s += r.rise * t.c * in
		// c depends on the ends: dc/da = 1 - Phi(za), dc/db = Phi(zb).
		dm[r.atA] += r.rise * (t.c*(1-fa) + t.a)
		dm[r.atB] += r.rise * (t.c*fb + t.b)
		ds[r.atA] += r.rise * ((t.cc*(1-fa)+t.ca)*in - t.c*qa)
		ds[r.atB] += r.rise * ((t.cc*fb+t.cb)*in + t.c*qb)
		if r.atBend >= 0 {
			dm[r.atBend] += r.rise * t.k
			ds[r.atBend] += r.rise * t.ck * in
		}
		travel, part := at[roleTravel], at[rolePart]
		share := 1.0
		if l.slopes == 2 {
			share = x[part]
			sign := x[travel]
			if i == 1 {
				share, sign = 1-share, -sign
			}
			dm[part] += sign * t.t
			ds[part] += sign * t.c * in
		}
		dm[travel] += share * t.t
		ds[travel] += share * t.c * in
		curvature += r.rise * (t.cc*in*in + t.c*(qa-qb))
	}
	if lag >= 0 {
		dm[lag] += s
		ds[lag] += curvature
	}
	return m, s
}

// held is the mean of the positive part of a normal variable with mean d and
// standard error sigma, and its first and second derivatives by d.
func held(d, sigma float64) (mean, first, second float64) {
	if sigma == 0 || math.Abs(d) > 8*sigma {
		if d > 0 {
			return d, 1, 0
		}
		return 0, 0, 0
	}
	z := d / sigma
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	below := math.Erfc(-z/math.Sqrt2) / 2
	return sigma * (z*below + density), below, density / sigma
}
