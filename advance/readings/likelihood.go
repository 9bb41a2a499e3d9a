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

// outlierWidth is how many times wider the errors of outliers spread than those
// of good readings.
const outlierWidth = 10

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
// a sum of squares for the fitting core: a residual for each reading from its
// error, one from the logarithms of their variances, then the priors and facts,
// then the pin of a profile.
type likelihood struct {
	shape    Shape
	slopes   int // 1 or 2 ramps, 0 for a level line
	params   int
	outliers float64
	runs     []series
	priors   []pin
	pin      *pin
	scratch  [4]gradient // working memory of Evaluate (0, 1, 2) and value (2, 3)
}

// pin holds a quantity of the curve at a value, with a standard error.
type pin struct {
	q            figure
	value, sigma float64
	slack        float64 // how far from value on either side the quantity is free
}

// Size is part of the fitting core's Problem.
func (l *likelihood) Size() (residuals, parameters int) {
	n := 1 + len(l.priors)
	for i := range l.runs {
		n += len(l.runs[i].obs)
	}
	if l.pin != nil {
		n++
	}
	return n, l.params
}

// Evaluate is part of the fitting core's Problem.
func (l *likelihood) Evaluate(x, r, jac []float64) {
	row, spread, widths := 0, 0.0, 1.0
	mean, slope, widening := &l.scratch[0], &l.scratch[1], &l.scratch[2]
	clear(widening[:l.params])
	for i := range l.runs {
		run := &l.runs[i]
		c := l.curve(x, &run.at)
		for _, o := range run.obs {
			m, s := c.expected(o.rpm, o.sigmaRPM, o.falling, mean, slope)
			v := o.sigmaDeg*o.sigmaDeg + o.sigmaRPM*o.sigmaRPM*s*s
			root := math.Sqrt(v)
			z := (o.deg - m) / root
			value, dz := contaminated(z, l.outliers)
			// dz = -dm/sqrt(v) - z dv/(2 v), dv = 2 sigma^2 s ds.
			half := o.sigmaRPM * o.sigmaRPM * s / v
			a, b := -1/root, -z*half
			for j := range l.params {
				widening[j] += half * slope[j]
				mean[j] = a*mean[j] + b*slope[j]
			}
			l.put(r, jac, row, value, mean, dz)
			// One logarithm of a product is that of its factors, a dozen times sooner.
			if widths *= v / (o.sigmaDeg * o.sigmaDeg); widths > 1e200 {
				spread += math.Log(widths)
				widths = 1
			}
			row++
		}
	}
	spread += math.Log(widths)
	// The logarithms of the variances go into one residual, the root of their sum.
	spread = math.Sqrt(spread)
	l.put(r, jac, row, spread, widening, 1/math.Max(spread, 1e-3))
	row++
	for i := range l.priors {
		l.putPin(x, r, jac, row, &l.priors[i])
		row++
	}
	if l.pin != nil {
		l.putPin(x, r, jac, row, l.pin)
	}
}

// put writes a residual and factor times its gradient.
func (l *likelihood) put(r, jac []float64, row int, value float64, g *gradient, factor float64) {
	r[row] = value
	if jac == nil {
		return
	}
	into := jac[row*l.params : (row+1)*l.params]
	for j := range into {
		into[j] = factor * g[j]
	}
}

func (l *likelihood) putPin(x, r, jac []float64, row int, p *pin) {
	v := l.value(x, p.q, &l.scratch[0]) - p.value
	factor := 1 / p.sigma
	if p.slack > 0 {
		free := math.Min(math.Max(v, -p.slack), p.slack)
		if free == v {
			factor = 0
		}
		v -= free
	}
	l.put(r, jac, row, v/p.sigma, &l.scratch[0], factor)
}

// contaminated is the signed root of minus twice the log density ratio of a
// standardised error z under the contaminated normal law with a share of outliers,
// and its derivative.
func contaminated(z, share float64) (value, derivative float64) {
	good, bad := 1-share, share/outlierWidth
	const narrow = 1.0 / (outlierWidth * outlierWidth)
	e := good * math.Exp(-z*z/2*(1-narrow))
	p := e / (e + bad) // probability that the reading is good
	weight := p + (1-p)*narrow
	if math.Abs(z) < 1e-4 {
		g := math.Sqrt(weight)
		return g * z, g
	}
	var rho float64
	if u := bad / e; u < 0.02 {
		// For most readings the density is that of the good part times 1 + u, whose
		// logarithm takes a few terms of its series.
		rho = z*z - 2*(logNearOne(u)-math.Log1p(bad/good))
	} else {
		rho = z*z*narrow - 2*math.Log((e+bad)/(good+bad))
	}
	value = math.Copysign(math.Sqrt(rho), z)
	return value, z * weight / value
}

// logNearOne is ln(1+u) for u of 0 to 0.02, to 1e-13.
func logNearOne(u float64) float64 {
	return u * (1 - u*(1.0/2-u*(1.0/3-u*(1.0/4-u*(1.0/5-u/6)))))
}

// outlier is the probability that a standardised error z is an outlier's.
func outlier(z, share float64) float64 {
	const narrow = 1.0 / (outlierWidth * outlierWidth)
	e := (1 - share) * math.Exp(-z*z/2*(1-narrow))
	bad := share / outlierWidth
	return bad / (e + bad)
}

// ramp is one ramp at the parameters x: its ends, bend and rise, and the places
// of its parameters.
type ramp struct {
	a, b, bend, rise float64
	atA, atB, atBend int
}

// curve is one run's curve at given parameters, made ready for many speeds.
type curve struct {
	shape          Shape
	params, ramps  int
	ramp           [2]ramp
	at             *layout
	static, travel float64
	part, lag      float64
}

// curve prepares the curve of a layout at the parameters x. Ends of ramps that
// would meet or cross are held narrowest apart; the parameter that lost its say
// passes it to the one that pushes.
func (l *likelihood) curve(x []float64, at *layout) curve {
	c := curve{shape: l.shape, params: l.params, ramps: l.slopes, at: at, static: x[at[roleStatic]], part: 1}
	if at[roleHysteresis] >= 0 {
		c.lag = x[at[roleHysteresis]]
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
	if l.slopes == 0 {
		return c
	}
	c.travel = x[at[roleTravel]]
	p, q := &c.ramp[0], &c.ramp[1]
	p.a, p.atA = x[at[roleStart]], at[roleStart]
	p.bend, p.atBend = bend(roleBend1)
	if l.slopes == 1 {
		p.rise = c.travel
		p.b, p.atB = after(p.a, p.atA, roleAllIn)
		return c
	}
	c.part = x[at[rolePart]]
	p.rise = c.travel * c.part
	q.rise = c.travel - p.rise
	p.b, p.atB = after(p.a, p.atA, roleKnee)
	q.a, q.atA = p.b, p.atB
	q.b, q.atB = after(q.a, q.atA, roleAllIn)
	q.bend, q.atBend = bend(roleBend2)
	return c
}

// expected is the curve at a speed known with standard error sigma, averaged
// over the true speeds, and its slope over the speed; with sigma zero it is the
// curve itself. The gradients by the parameters go into dm and ds.
//
// The average is that of the speed held between the ends of a ramp: with
// za = (n-a)/sigma and the standard normal law,
//
//	E c = a + sigma [h(za) - h(zb)],  h(z) = z Phi(z) + phi(z),
//
// and the slope dEc/dn = Phi(za) - Phi(zb). Within a ramp the curve is so nearly
// straight over sigma that its value at E c is its average.
func (c *curve) expected(n, sigma float64, falling bool, dm, ds *gradient) (m, s float64) {
	clear(dm[:c.params])
	clear(ds[:c.params])
	at := c.at
	m = c.static
	dm[at[roleStatic]] = 1
	lag := -1
	if falling && at[roleHysteresis] >= 0 {
		lag = at[roleHysteresis]
		n += c.lag
	}
	curvature := 0.0
	for i := range c.ramps {
		r := &c.ramp[i]
		ca, fa, qa := held(n-r.a, sigma)
		cb, fb, qb := held(n-r.b, sigma)
		t := c.shape.rise(math.Min(r.a+ca-cb, r.b), r.a, r.b, r.bend)
		in := fa - fb
		m += r.rise * t.t
		s += r.rise * t.c * in
		// The held speed depends on the ends: by 1 - Phi(za) and Phi(zb).
		dm[r.atA] += r.rise * (t.c*(1-fa) + t.a)
		dm[r.atB] += r.rise * (t.c*fb + t.b)
		ds[r.atA] += r.rise * ((t.cc*(1-fa)+t.ca)*in - t.c*qa)
		ds[r.atB] += r.rise * ((t.cc*fb+t.cb)*in + t.c*qb)
		if r.atBend >= 0 {
			dm[r.atBend] += r.rise * t.k
			ds[r.atBend] += r.rise * t.ck * in
		}
		share := c.part
		if c.ramps == 2 {
			sign := c.travel
			if i == 1 {
				share, sign = 1-share, -sign
			}
			dm[at[rolePart]] += sign * t.t
			ds[at[rolePart]] += sign * t.c * in
		}
		dm[at[roleTravel]] += share * t.t
		ds[at[roleTravel]] += share * t.c * in
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
