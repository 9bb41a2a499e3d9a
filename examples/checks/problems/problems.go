package problems

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/leastsquares"
	"example.org/bobweight/springs/valid"
)

// problem is a model with data. Its residuals are those of the model less the
// response.
type problem struct {
	model model
	y     []float64
	x     []complex128
}

// New returns the problem of a model with responses y and predictors. A model is
// named by its formula with parameters b1, b2, ..., such as "b1*(1-exp(-b2*x))". All
// have one predictor, except for the one of x1 and x2, which has two and takes the
// logarithm of y, all above zero. New refuses an unknown model, predictors that are
// not as many and as long as they should be, fewer responses than parameters, and
// numbers that are not finite.
func New(name string, y []float64, predictors ...[]float64) (leastsquares.Problem, error) {
	m, ok := models[name]
	if !ok {
		return nil, fmt.Errorf("%w: model %q is none of the %d models", valid.ErrRange, name, len(models))
	}
	want := 1
	if name == nelson {
		want = 2
	}
	if len(predictors) != want {
		return nil, fmt.Errorf("%w: predictors are %d, valid is %d", valid.ErrRange, len(predictors), want)
	}
	if len(y) < m.parameters {
		return nil, fmt.Errorf("%w: responses are %d, valid is %d or more", valid.ErrRange, len(y), m.parameters)
	}
	for k, x := range predictors {
		if len(x) != len(y) {
			return nil, fmt.Errorf("%w: values of predictor %d are %d, valid is %d", valid.ErrRange, k+1, len(x), len(y))
		}
	}
	p := &problem{m, make([]float64, len(y)), make([]complex128, len(y))}
	for i, v := range y {
		x := complex(predictors[0][i], 0)
		if name == nelson {
			v, x = math.Log(v), complex(predictors[0][i], predictors[1][i])
		}
		for _, n := range []float64{v, real(x), imag(x)} {
			if math.IsNaN(n) || math.IsInf(n, 0) {
				return nil, fmt.Errorf("%w: observation %d has %g, valid is a finite number", valid.ErrRange, i+1, n)
			}
		}
		p.y[i], p.x[i] = v, x
	}
	return p, nil
}

// Size returns the number of residuals and of parameters.
func (p *problem) Size() (residuals, parameters int) { return len(p.y), p.model.parameters }

// Evaluate writes residuals and their derivatives. With the parameter j moved by ih
// the imaginary part divided by h is the derivative to full precision (Squire and
// Trapp, Using complex variables to estimate derivatives of real functions, SIAM
// Review 40, 1998, pp. 110-112).
func (p *problem) Evaluate(b, r, jac []float64) {
	const h = 1e-30
	c := make([]complex128, len(b))
	for i, x := range p.x {
		for j := range b {
			for k, v := range b {
				c[k] = complex(v, 0)
			}
			c[j] += complex(0, h)
			v := p.model.value(c, x)
			r[i] = real(v) - p.y[i]
			jac[i*len(b)+j] = imag(v) / h
		}
	}
}
