package learned

import (
	"math"

	"example.org/bobweight/springs/leastsquares"
	"example.org/bobweight/springs/valid"
	"gonum.org/v1/gonum/mat"
)

// mode is the most probable point of a model.
type mode struct {
	m         *model
	par       []float64
	posterior float64   // its logarithm
	evidence  float64   // logarithm of the probability of the readings, by Laplace's method, with the model's own odds
	root      []float64 // lower triangle of the covariance's root, row by row
}

// climb finds the mode from a start by damped least squares, with the readings'
// standard errors taken anew between passes.
func climb(t *target, start []float64) (*mode, error) {
	par := append([]float64(nil), start...)
	set := leastsquares.Settings{StepTol: 1e-6, ValueTol: 1e-6, MaxSteps: 60}
	var work leastsquares.Work
	for range 3 {
		t.freeze(par)
		if _, err := leastsquares.Minimize(t, par[:t.m.size-1], &set, &work); err != nil {
			return nil, err
		}
	}
	t.freeze(par)
	d := &mode{m: t.m, par: par, posterior: t.logPosterior(par)}
	return d, nil
}

// measure finds covariance and evidence about the mode. A reading counts with the
// information that Student's law expects of it, (freedom+1)/(freedom+3) of a normal
// one's (Lange, Little and Taylor 1989, see freedom), not with the slope that the sum
// of squares has at its residual: readings that happen to lie near the curve have too
// steep a one. The errors' size is added by itself.
func (d *mode) measure(t *target) bool {
	rows, n := t.Size()
	copy(t.trial, d.par)
	t.freeze(d.par)
	r, jac := make([]float64, rows), make([]float64, rows*n)
	t.Evaluate(d.par[:n], r, jac)
	for i := range d.m.obs {
		by := math.Sqrt((freedom+1)/(freedom+3.0)) / steepness(r[i])
		for j := range n {
			jac[i*n+j] *= by
		}
	}
	size := d.m.size
	h := mat.NewSymDense(size, nil)
	for a := range n {
		for b := a; b < n; b++ {
			sum := 0.0
			for i := range rows {
				sum += jac[i*n+a] * jac[i*n+b]
			}
			h.SetSym(a, b, sum)
		}
	}
	p := d.m.prior[n]
	h.SetSym(n, n, 1/(p.sd*p.sd)+2*freedom/(freedom+3.0)*float64(len(d.m.obs)))
	var chol mat.Cholesky
	if !chol.Factorize(h) {
		return false
	}
	d.evidence = d.m.before + d.posterior + float64(size)*halfLog2Pi - chol.LogDet()/2
	var cov mat.SymDense
	if chol.InverseTo(&cov) != nil {
		return false
	}
	var root mat.Cholesky
	if !root.Factorize(&cov) {
		return false
	}
	var lower mat.TriDense
	root.LTo(&lower)
	d.root = make([]float64, size*size)
	for i := range size {
		for j := range i + 1 {
			d.root[i*size+j] = lower.At(i, j)
		}
	}
	return valid.Finite(d.evidence)
}

// steepness is the slope of a reading's residual in the sum of squares, of value r, over
// the reading's distance from the curve in standard errors.
func steepness(r float64) float64 {
	square := freedom * math.Expm1(r*r/(freedom+1))
	if square < 1e-12 {
		return math.Sqrt((freedom + 1) / float64(freedom))
	}
	return (freedom + 1) * math.Sqrt(square) / ((freedom + square) * math.Abs(r))
}

// best finds the highest mode of a model from several starts.
func best(m *model) *mode {
	t := newTarget(m)
	var top *mode
	for _, s := range m.first() {
		d, err := climb(t, s)
		if err != nil || !valid.Finite(d.posterior) {
			continue
		}
		if top == nil || d.posterior > top.posterior {
			top = d
		}
	}
	if top == nil || !top.measure(t) {
		return nil
	}
	return top
}
