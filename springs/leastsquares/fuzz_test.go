package leastsquares_test

import (
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/leastsquares"
)

// decay is the problem y = x[0] exp(-x[1] t) over whole t: its residuals overflow in
// one direction and its derivatives vanish in the other.
type decay []float64

func (d decay) Size() (residuals, parameters int) { return len(d), 2 }

func (d decay) Evaluate(x, r, jac []float64) {
	for i, y := range d {
		e := math.Exp(-x[1] * float64(i))
		r[i] = x[0]*e - y
		jac[2*i], jac[2*i+1] = e, -x[0]*float64(i)*e
	}
}

// sum is the sum of squared residuals.
func (d decay) sum(x []float64) float64 {
	r, jac := make([]float64, len(d)), make([]float64, 2*len(d))
	d.Evaluate(x, r, jac)
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	return s
}

// Whatever data, start, box and settings come in: an error, or a point inside the box
// that is no worse than the start, whose sum is the one reported, within the steps
// allowed. Used memory gives the same bits as fresh memory.
func FuzzMinimize(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add([]byte{200, 120, 80, 50, 30}, 1.0, 1.0, 0.0, 1e3, 1e-12, 0.0, 0)
	f.Add([]byte{1, 2, 4, 8, 16, 32, 64, 128}, 1e300, -700.0, -1e308, 1e308, 0.0, 1e-6, 500)
	f.Add([]byte{0, 0}, 5e-324, math.Inf(1), 1.0, -1.0, math.NaN(), -1.0, -3)
	f.Add([]byte{255}, 0.0, 0.0, math.NaN(), math.NaN(), math.Inf(1), math.Inf(1), 1)
	f.Fuzz(func(t *testing.T, data []byte, a, b, low, high, stepTol, valueTol float64, steps int) {
		if len(data) == 0 || len(data) > 40 {
			return
		}
		p := make(decay, len(data))
		for i, v := range data {
			p[i] = float64(v)
		}
		if steps > 2000 {
			steps = 2000
		}
		s := &leastsquares.Settings{
			Low: []float64{low, low}, High: []float64{high, high}, StepTol: stepTol, ValueTol: valueTol, MaxSteps: steps,
		}
		x, again := []float64{a, b}, []float64{a, b}
		var work leastsquares.Work
		r, err := leastsquares.Minimize(p, x, s, &work)
		if err != nil {
			return
		}
		for j, v := range x {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < low || v > high {
				t.Errorf("parameter %d is %g in a box of %g to %g", j, v, low, high)
			}
		}
		if start, end := p.sum([]float64{a, b}), p.sum(x); !(end <= start) || !(math.Abs(end-r.Sum) <= 1e-12*end) {
			t.Errorf("sum %g at the start, %g at the end, %g reported", start, end, r.Sum)
		}
		if most := max(steps, 0); steps != 0 && r.Steps > most || r.Steps < 0 {
			t.Errorf("%d steps of at most %d", r.Steps, most)
		}
		if second, err := leastsquares.Minimize(p, again, s, &work); err != nil || second != r || again[0] != x[0] || again[1] != x[1] {
			t.Errorf("with used memory %v (%v), %v; at first %v, %v", second, err, again, r, x)
		}
	})
}
