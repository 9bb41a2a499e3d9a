package vacuum

import (
	"context"
	"fmt"
	"math"
)

// The air's equations are stiff: a wide-open throttle settles in tenths of a
// millisecond, a chamber behind a fine drilling in seconds. They are integrated
// by a Rosenbrock method of fourth order, in which each stage solves a linear
// system with the same matrix, so that steps may be longer than the fastest
// settling. The coefficients, with the embedded third order for the error, are
// those of Shampine, Implementation of Rosenbrock Methods, ACM Transactions on
// Mathematical Software 8 (1982) 93, read in public programs (KRR43 of OpenFOAM
// among them); a test finds the order anew.

// state is the mass of air in kg in the manifold and in the unit's chamber.
type state [2]float64

// rosenbrock integrates y' = f(t, y).
type rosenbrock struct {
	ctx      context.Context
	f        func(t float64, y state) state
	scale    state   // absolute size of each component, for the error
	rel      float64 // tolerance relative to scale
	steps    int     // accepted
	rejected int
	calls    int // of f
}

// step advances y by h with one step of the method and returns the new state and
// the error of the embedded formula as a multiple of the tolerance.
func (s *rosenbrock) step(t float64, y, f0 state, h float64) (state, float64) {
	const (
		gamma                  = 1.0 / 2
		a21, a31, a32          = 2.0, 48.0 / 25, 6.0 / 25
		c21, c31, c32          = -8.0, 372.0 / 25, 12.0 / 5
		c41, c42, c43          = -112.0 / 125, -54.0 / 125, -2.0 / 5
		b1, b2, b3, b4         = 19.0 / 9, 1.0 / 2, 25.0 / 108, 125.0 / 108
		e1, e2, e4             = 17.0 / 54, 7.0 / 36, 125.0 / 108
		t1, t2, t3, t4         = 1.0 / 2, -3.0 / 2, 121.0 / 50, 29.0 / 250
		x2, x3                 = 1.0, 3.0 / 5
		difference     float64 = 1e-7
	)
	// Jacobian by forward differences, and the rate of f itself.
	var j [2][2]float64
	for k := range y {
		d := difference * s.scale[k]
		yk := y
		yk[k] += d
		fk := s.call(t, yk)
		for i := range y {
			j[i][k] = (fk[i] - f0[i]) / d
		}
	}
	dt := difference * h
	ft := s.call(t+dt, y)
	for i := range y {
		ft[i] = (ft[i] - f0[i]) / dt
	}
	// (1/(gamma h) - J) g = right-hand side, four times.
	m00, m11 := 1/(gamma*h)-j[0][0], 1/(gamma*h)-j[1][1]
	m01, m10 := -j[0][1], -j[1][0]
	det := m00*m11 - m01*m10
	solve := func(r state) state {
		return state{(m11*r[0] - m01*r[1]) / det, (m00*r[1] - m10*r[0]) / det}
	}
	var r, yy, next state
	for i := range y {
		r[i] = f0[i] + h*t1*ft[i]
	}
	g1 := solve(r)
	for i := range y {
		yy[i] = y[i] + a21*g1[i]
	}
	fy := s.call(t+x2*h, yy)
	for i := range y {
		r[i] = fy[i] + h*t2*ft[i] + c21*g1[i]/h
	}
	g2 := solve(r)
	for i := range y {
		yy[i] = y[i] + a31*g1[i] + a32*g2[i]
	}
	fy = s.call(t+x3*h, yy)
	for i := range y {
		r[i] = fy[i] + h*t3*ft[i] + (c31*g1[i]+c32*g2[i])/h
	}
	g3 := solve(r)
	for i := range y {
		r[i] = fy[i] + h*t4*ft[i] + (c41*g1[i]+c42*g2[i]+c43*g3[i])/h
	}
	g4 := solve(r)
	worst := 0.0
	for i := range y {
		next[i] = y[i] + b1*g1[i] + b2*g2[i] + b3*g3[i] + b4*g4[i]
		e := e1*g1[i] + e2*g2[i] + e4*g4[i]
		worst = math.Max(worst, math.Abs(e)/(s.rel*s.scale[i]))
	}
	return next, worst
}

func (s *rosenbrock) call(t float64, y state) state {
	s.calls++
	return s.f(t, y)
}

// errStep says that the tolerance cannot be met with any step, or not with a sane
// number of them.
var errStep = fmt.Errorf("%w: the air cannot be followed to the tolerance asked in %.0g looks at its flows, valid is a coarser tolerance or parts nearer to each other in size", errRange, mostCalls)

// mostCalls bounds the work of a run: a hundred times what a drive of a minute
// takes.
const mostCalls = 2e6

// span integrates from t to end, beginning with steps of h, and calls accept
// after every step with both ends and the slopes there. It returns the final
// state and the step that it would have taken next.
func (s *rosenbrock) span(t, end float64, y state, h float64, accept func(t0, t1 float64, y0, f0, y1, f1 state)) (state, float64, error) {
	f0 := s.call(t, y)
	for t < end {
		if s.calls > mostCalls {
			return y, h, errStep
		}
		if err := s.ctx.Err(); err != nil {
			return y, h, err
		}
		trial := math.Min(h, end-t)
		next, worst := s.step(t, y, f0, trial)
		// The error of the third-order formula goes with the fourth power of the step.
		grow := 0.9 * math.Pow(math.Max(worst, 1e-8), -0.25)
		if !(worst <= 1) {
			if trial < 1e-13*math.Max(1, math.Abs(end)) {
				return y, h, errStep
			}
			s.rejected++
			h = trial / 10
			if grow > 0.1 { // false for NaN
				h = trial * math.Min(0.9, grow)
			}
			continue
		}
		s.steps++
		after := t + trial
		if trial == end-t {
			after = end
		}
		f1 := s.call(after, next)
		accept(t, after, y, f0, next, f1)
		longer := trial * math.Min(4, math.Max(0.2, grow))
		if trial < h { // cut short by the end, which says nothing against the longer step
			longer = math.Max(h, longer)
		}
		t, y, f0, h = after, next, f1, longer
	}
	return y, h, nil
}
