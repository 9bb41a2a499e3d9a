package readings

import (
	"math"
	"slices"

	"example.org/bobweight/advance"
	"example.org/bobweight/springs/leastsquares"
	"example.org/bobweight/springs/valid"
	"gonum.org/v1/gonum/floats"
)

// Against is how readings lie to a curve they were expected to follow: shifted by
// so many degrees, and as if the tachometer showed so many times the true speed.
type Against struct {
	Shift Estimate // crank degrees, readings above the curve positive
	// Scale is the tachometer's reading over the true speed. It stands at 1 to 1
	// unless a scale explains the readings better than a shift alone.
	Scale     Estimate
	Scatter   float64 // root mean square of the standardised errors that are left, the worst one in eight set aside
	Unchanged float64 // the same with neither shift nor scale
	Readings  int     // compared: hose off, inside the range where the curve is given
}

// against is the least squares problem of a shift and a scale.
type against struct {
	obs      []observed
	curve    advance.Curve
	weights  []float64 // square roots of the weights
	withTurn bool      // the scale is free too
}

func (a *against) Size() (residuals, parameters int) {
	if a.withTurn {
		return len(a.obs), 2
	}
	return len(a.obs), 1
}

// at returns the curve and its slope at a speed, held beyond its ends.
func (a *against) at(rpm float64) (value, slope float64) {
	const h = 10 // rpm
	value, _ = a.curve.Held(rpm)
	up, _ := a.curve.Held(rpm + h)
	down, _ := a.curve.Held(rpm - h)
	return value, (up - down) / (2 * h)
}

func (a *against) Evaluate(x, r, jac []float64) {
	_, n := a.Size()
	scale := 1.0
	if n == 2 {
		scale = x[1]
	}
	for i, o := range a.obs {
		rpm := o.rpm / scale
		v, slope := a.at(rpm)
		w := a.weights[i] / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
		r[i] = w * (o.deg - v - x[0])
		jac[i*n] = -w
		if n == 2 {
			jac[i*n+1] = w * slope * rpm / scale
		}
	}
}

// fit finds the parameters with outliers weighted down (weights of Student's law
// with 4 degrees of freedom, iterated: Lange, Little and Taylor, Robust
// statistical modeling using the t distribution, Journal of the American
// Statistical Association 84, 1989, pp. 881-896), their covariance and
// that law's deviance.
func (a *against) fit(x []float64) (deviance float64, covariance [2][2]float64, err error) {
	m, n := a.Size()
	r, jac := make([]float64, m), make([]float64, m*n)
	for i := range a.weights {
		a.weights[i] = 1
	}
	set := leastsquares.Settings{MaxSteps: 100, StepTol: 1e-8}
	if n == 2 {
		set.Low, set.High = []float64{-maxDegrees, 0.2}, []float64{maxDegrees, 5}
	}
	for range 12 {
		if _, err := leastsquares.Minimize(a, x, &set, nil); err != nil {
			return 0, covariance, err
		}
		a.Evaluate(x, r, jac)
		deviance = 0
		for i := range a.weights {
			const nu = 4
			z := r[i] / a.weights[i]
			deviance += (nu + 1) * math.Log1p(z*z/nu)
			a.weights[i] = math.Sqrt((nu + 1) / (nu + z*z))
		}
	}
	var h [2][2]float64
	for i := range m {
		for j := range n {
			for k := range n {
				h[j][k] += jac[i*n+j] * jac[i*n+k]
			}
		}
	}
	if n == 1 {
		covariance[0][0] = 1 / h[0][0]
		return deviance, covariance, nil
	}
	det := h[0][0]*h[1][1] - h[0][1]*h[1][0]
	covariance = [2][2]float64{{h[1][1] / det, -h[0][1] / det}, {-h[1][0] / det, h[0][0] / det}}
	return deviance, covariance, nil
}

// scatter is the root mean square of the standardised errors at x, without the
// worst one in eight, which may be outliers.
func (a *against) scatter(x []float64) float64 {
	m, n := a.Size()
	r, jac := make([]float64, m), make([]float64, m*n)
	for i := range a.weights {
		a.weights[i] = 1
	}
	a.Evaluate(x, r, jac)
	for i := range r {
		r[i] *= r[i]
	}
	slices.Sort(r)
	kept := r[:m-m/8]
	return math.Sqrt(floats.Sum(kept) / float64(len(kept)))
}

// CompareTo lays the readings beside a curve that they were expected to follow,
// such as that of the parts by their moment balance, or of the same distributor
// before. Hose-on readings are left out. It refuses a Result that no fit made and
// a curve without points.
func (r *Result) CompareTo(expected advance.Curve) (Against, error) {
	if err := r.made(); err != nil {
		return Against{}, err
	}
	obs := r.fit.obs
	if len(expected.Points()) == 0 {
		return Against{}, valid.Refuse(errRange, "number of points of the expected curve", 0, "", "1 or more")
	}
	a := &against{obs: obs, curve: expected, weights: make([]float64, len(obs))}
	z := 0.0
	for _, o := range obs {
		v, slope := a.at(o.rpm)
		e := (o.deg - v) / math.Hypot(o.sigmaDeg, o.sigmaRPM*slope)
		z += e * e
	}
	n := float64(len(obs))
	out := Against{Unchanged: math.Sqrt(z / n), Readings: len(obs), Scale: Estimate{Value: 1, Low: 1, High: 1}}
	x := []float64{0}
	shiftSum, c, err := a.fit(x)
	if err != nil {
		return out, err
	}
	half := Estimate{}.sides()
	around := func(v, variance float64) Estimate {
		d := half * math.Sqrt(variance)
		return Estimate{Value: v, Low: v - d, High: v + d}
	}
	out.Shift = around(x[0], c[0][0])
	out.Scatter = a.scatter(x)
	best := shiftSum + math.Log(n)
	a.withTurn = true
	for _, scale := range []float64{1, 0.5, 2, 0.75, 4.0 / 3} { // one, and the usual wrong cylinder counts
		y := []float64{x[0], scale}
		sum, c, err := a.fit(y)
		// One more parameter must pay ln n by Schwarz's criterion, and the interval
		// of the scale must leave 1 out.
		if s := around(y[1], c[1][1]); err == nil && valid.Finite(c[1][1]) && sum+2*math.Log(n) < best && (s.Low > 1 || s.High < 1) {
			out.Scale, out.Shift, out.Scatter = s, around(y[0], c[0][0]), a.scatter(y)
			best = sum + 2*math.Log(n)
		}
	}
	return out, nil
}
