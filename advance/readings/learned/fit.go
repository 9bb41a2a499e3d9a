package learned

import (
	"math"

	"example.org/bobweight/springs/leastsquares"
	"gonum.org/v1/gonum/mat"
)

// mode is the most probable point of a model.
type mode struct {
	m         *model
	par       []float64
	posterior float64   // its logarithm
	evidence  float64   // logarithm of the probability of the readings, by Laplace's method
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

// measure finds covariance and evidence about the mode from the curvature of the
// sum of squares, to which the errors' size is added by itself.
func (d *mode) measure(t *target) bool {
	rows, n := t.Size()
	copy(t.trial, d.par)
	t.freeze(d.par)
	r, jac := make([]float64, rows), make([]float64, rows*n)
	t.Evaluate(d.par[:n], r, jac)
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
	d.evidence = d.posterior + float64(size)*halfLog2Pi - chol.LogDet()/2
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
	return finite(d.evidence)
}

// best finds the highest mode of a model from several starts.
func best(m *model) *mode {
	t := newTarget(m)
	var top *mode
	for _, s := range m.starts() {
		d, err := climb(t, s)
		if err != nil || !finite(d.posterior) {
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

// starts are the points from which a model is fitted: speeds of start a third below
// and above what the readings suggest, and three places of take-up.
func (m *model) starts() [][]float64 {
	base := m.guess()
	var out [][]float64
	factors := []float64{0, math.Log(0.65), math.Log(1.35)}
	takeUps := []float64{0}
	slack := false
	for _, s := range m.slack {
		slack = slack || s
	}
	if slack {
		factors, takeUps = factors[:1], []float64{-1, 0, 1}
	}
	for _, f := range factors {
		for _, t := range takeUps {
			par := append([]float64(nil), base...)
			for k, p := range m.kinds {
				if m.slack[k] {
					par[p+3] += t
				} else {
					par[p] += f
				}
			}
			out = append(out, par)
		}
	}
	return out
}

// guess reads a first point off the readings: each run's speeds at a tenth and nine
// tenths of its rise, shared out to the columns.
func (m *model) guess() []float64 {
	par := make([]float64, m.size)
	for j, p := range m.prior {
		par[j] = p.mean
	}
	travel := make([]float64, len(m.stops))
	low := make([]float64, len(m.runs))
	high := make([]float64, len(m.runs))
	for i := range m.runs {
		w := &m.runs[i]
		rise := w.highDeg - w.lowDeg
		travel[w.stop] = math.Max(travel[w.stop], rise)
		low[i], high[i] = w.lowRPM, w.highRPM
		for j := w.from; j < w.to; j++ {
			o := &m.obs[j]
			if o.deg < w.lowDeg+0.15*rise {
				low[i] = math.Max(low[i], o.rpm)
			}
			if o.deg > w.highDeg-0.15*rise {
				high[i] = math.Min(high[i], o.rpm)
			}
		}
		high[i] = math.Max(high[i], 1.15*low[i])
	}
	for i, name := range m.stops {
		if known(m.set.Travels, name) == nil {
			par[m.stop0+i] = math.Log(math.Min(60, math.Max(5, travel[i])))
		}
	}
	rest, end := m.solve(low), m.solve(high)
	for k, p := range m.kinds {
		if !m.slack[k] {
			par[p] = math.Log(rest[k]) / 2
		}
		par[p+1] = math.Log(math.Max(end[k]-rest[k], 0.3*end[k])) / 2
	}
	for c := range m.clamps {
		for i := range m.runs {
			if w := &m.runs[i]; w.clamp == c {
				par[m.top0+c] = w.highDeg
				break
			}
		}
	}
	return par
}

// solve shares the squared speeds of the runs out to the columns: those that stand
// alone first, then what a mixed run leaves to the one that is not yet known.
func (m *model) solve(speed []float64) []float64 {
	out := make([]float64, len(m.columns))
	for range len(m.columns) + 1 {
		for i, w := range m.runs {
			total := float64(m.places) * speed[i] * speed[i]
			unknown, n, open := -1, 0.0, 0
			for k, c := range w.counts {
				switch {
				case c == 0:
				case out[k] > 0:
					total -= c * out[k]
				default:
					unknown, n = k, c
					open++
				}
			}
			if open == 1 {
				out[unknown] = math.Max(total/n, 0.2*speed[i]*speed[i])
			}
		}
	}
	for i, w := range m.runs { // what no run shows alone is shared evenly
		for k, c := range w.counts {
			if c > 0 && out[k] == 0 {
				out[k] = speed[i] * speed[i]
			}
		}
	}
	return out
}
