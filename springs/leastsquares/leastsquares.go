package leastsquares

import (
	"example.org/bobweight/springs/valid"

	"fmt"
	"math"
)

// errRange is wrapped by every error of this package.
var errRange = valid.Sentinel("leastsquares")

// Problem is a vector of residuals of a parameter vector.
type Problem interface {
	// Size returns the number of residuals and of parameters, both positive.
	Size() (residuals, parameters int)
	// Evaluate writes the residuals at x into r and their derivatives into jac,
	// row by row: jac[i*parameters+j] = d r[i]/d x[j].
	Evaluate(x, r, jac []float64)
}

// Settings steer [Minimize]; nil means the defaults.
type Settings struct {
	Low, High []float64 // box, inclusive; nil leaves a side open
	// Keep, if not nil, moves a trial into the region allowed where a box cannot
	// say what that is. It must leave points of the region alone.
	Keep     func(x []float64)
	StepTol  float64 // stop when a step is smaller than this against x; 0 means 1e-12
	ValueTol float64 // stop when an accepted step wins less than this part of the sum; 0 means never
	MaxSteps int     // steps tried at most, none where below 0; 0 means 20000
}

// Report is the outcome of a minimisation.
type Report struct {
	Sum   float64 // sum of squared residuals at the returned x
	Steps int     // steps tried
	// Converged is false where MaxSteps were tried. Else the last step changed nothing
	// that counts, it won less than ValueTol, or the sum is zero.
	Converged bool
}

// Work holds the memory of [Minimize], so that a caller with many problems pays
// for it once. The zero value is ready for use.
type Work struct {
	r, rTry, jac, jacTry, scale, x, step, stack, rhs []float64
}

// Minimize moves x, which holds the start, to a local minimum of the sum of
// squared residuals inside the box. A nil work is allowed. It refuses a start
// that is not finite, outside the box or of the wrong length, and one where the
// residuals are not finite. A step into a region of residuals that are not
// finite is shortened.
func Minimize(p Problem, x []float64, s *Settings, work *Work) (Report, error) {
	if p == nil {
		return Report{}, fmt.Errorf("%w: the problem is nil, valid is one with residuals", errRange)
	}
	if s == nil {
		s = &Settings{}
	}
	if work == nil {
		work = &Work{}
	}
	m, n := p.Size()
	if err := checkStart(x, n, s); err != nil {
		return Report{}, err
	}
	work.prepare(m, n)
	w := work
	p.Evaluate(x, w.r, w.jac)
	sum := dot(w.r, w.r)
	if !finite(sum) {
		return Report{}, fmt.Errorf("%w: sum of squares at the start is %g, valid is a finite number", errRange, sum)
	}
	stepTol, maxSteps := s.limits()
	w.rescale(m, n, true)
	lambda, grow := 3e-2, 2.0
	for k := 1; ; k++ {
		if sum == 0 {
			return Report{Steps: k - 1, Converged: true}, nil
		}
		if k > maxSteps {
			return Report{Sum: sum, Steps: k - 1}, nil
		}
		w.solve(m, n, lambda, x, s)
		small := w.propose(x, s, stepTol)
		if !w.within(x) {
			lambda *= grow
			grow *= 2
			continue
		}
		if small {
			return Report{Sum: sum, Steps: k, Converged: true}, nil
		}
		// Most steps are taken, so the derivatives are asked for at once.
		p.Evaluate(w.x, w.rTry, w.jacTry)
		try := dot(w.rTry, w.rTry)
		gain := (sum - try) / w.predicted(m, n, sum)
		if !(try < sum) || !(gain > 1e-4) { // also where try is NaN
			lambda *= grow
			grow *= 2
			if lambda > 1e60 {
				return Report{Sum: sum, Steps: k, Converged: true}, nil
			}
			continue
		}
		copy(x, w.x)
		won := sum - try
		sum = try
		w.r, w.rTry = w.rTry, w.r
		w.jac, w.jacTry = w.jacTry, w.jac
		w.rescale(m, n, false)
		if won < s.ValueTol*sum {
			return Report{Sum: sum, Steps: k, Converged: true}, nil
		}
		// Nielsen's rule: little damping where the linear model foretold the gain.
		q := 2*gain - 1
		lambda = math.Max(lambda*math.Max(1.0/3, 1-q*q*q), 1e-30)
		grow = 2
	}
}

// limits are the settings' step tolerance and number of steps, defaults filled in.
func (s *Settings) limits() (stepTol float64, maxSteps int) {
	stepTol, maxSteps = s.StepTol, s.MaxSteps
	if stepTol == 0 {
		stepTol = 1e-12
	}
	if maxSteps == 0 {
		maxSteps = 20000
	}
	return stepTol, maxSteps
}

// propose takes the step from x, inside the box and the region allowed, and reports
// whether what is left of it is too small to count.
func (w *Work) propose(x []float64, s *Settings, stepTol float64) (small bool) {
	for j := range x {
		w.x[j] = clip(x[j]+w.step[j], s, j)
	}
	if s.Keep != nil {
		s.Keep(w.x)
	}
	small = true
	for j := range x {
		w.step[j] = w.x[j] - x[j]
		if math.Abs(w.step[j]) > stepTol*(math.Abs(x[j])+stepTol) {
			small = false
		}
	}
	return small
}

func checkStart(x []float64, n int, s *Settings) error {
	if len(x) != n || (s.Low != nil && len(s.Low) != n) || (s.High != nil && len(s.High) != n) {
		return fmt.Errorf("%w: start has %d values, valid is %d, and the box likewise", errRange, len(x), n)
	}
	for j, v := range x {
		if !finite(v) || v != clip(v, s, j) {
			return fmt.Errorf("%w: start value %d is %g, valid is a finite number inside the box", errRange, j+1, v)
		}
	}
	return nil
}

func clip(v float64, s *Settings, j int) float64 {
	if s.Low != nil && v < s.Low[j] {
		return s.Low[j]
	}
	if s.High != nil && v > s.High[j] {
		return s.High[j]
	}
	return v
}

func (w *Work) prepare(m, n int) {
	grow := func(v *[]float64, size int) {
		if cap(*v) < size {
			*v = make([]float64, size)
		}
		*v = (*v)[:size]
	}
	grow(&w.r, m)
	grow(&w.rTry, m)
	grow(&w.jac, m*n)
	grow(&w.jacTry, m*n)
	grow(&w.scale, n)
	grow(&w.x, n)
	grow(&w.step, n)
	grow(&w.stack, (m+n)*n)
	grow(&w.rhs, m+n)
}

// fade is what a step leaves of the scale of a parameter whose derivatives have
// become small, so that one wild place does not hold it back for ever.
const fade = 0.9

// rescale keeps D at the largest column norms of J met of late, which makes the
// method blind to the units of the parameters (Moré 1978, section 6, with a
// memory that fades).
func (w *Work) rescale(m, n int, fresh bool) {
	for j := range n {
		sum := 0.0
		for i := range m {
			v := w.jac[i*n+j]
			sum += v * v
		}
		norm := math.Sqrt(sum)
		if fresh {
			w.scale[j] = norm
			if norm == 0 {
				w.scale[j] = 1
			}
		} else {
			w.scale[j] = math.Max(fade*w.scale[j], norm)
		}
	}
}

// solve finds the damped step. A parameter on its bound which the gradient
// pushes outward is held: its column is left out, and damping alone makes its
// step zero.
func (w *Work) solve(m, n int, lambda float64, x []float64, s *Settings) {
	copy(w.stack, w.jac)
	for i := range m {
		w.rhs[i] = -w.r[i]
	}
	clear(w.stack[m*n:])
	clear(w.rhs[m:])
	root := math.Sqrt(lambda)
	for j := range n {
		w.stack[(m+j)*n+j] = root * w.scale[j]
		if w.held(m, n, j, x, s) {
			for i := range m {
				w.stack[i*n+j] = 0
			}
			w.stack[(m+j)*n+j] = 1
		}
	}
	solveDamped(m, n, w.stack, w.rhs, w.step)
}

func (w *Work) held(m, n, j int, x []float64, s *Settings) bool {
	low := s.Low != nil && x[j] <= s.Low[j]
	high := s.High != nil && x[j] >= s.High[j]
	if !low && !high {
		return false
	}
	gradient := 0.0
	for i := range m {
		gradient += w.jac[i*n+j] * w.r[i]
	}
	return low && gradient > 0 || high && gradient < 0
}

// predicted returns the gain that the linear model foretells for w.step.
func (w *Work) predicted(m, n int, sum float64) float64 {
	after := 0.0
	for i := range m {
		v := w.r[i]
		for j := range n {
			v += w.jac[i*n+j] * w.step[j]
		}
		after += v * v
	}
	return math.Max(sum-after, math.SmallestNonzeroFloat64)
}

// reach is the longest step, against x, both measured by D: a model that is
// linear only nearby must not throw the parameters out of its sight.
const reach = 1

// within reports whether w.step is not too long.
func (w *Work) within(x []float64) bool {
	step, size := 0.0, 0.0
	for j, d := range w.scale {
		step += d * d * w.step[j] * w.step[j]
		size += d * d * x[j] * x[j]
	}
	return step <= reach*reach*size || size == 0
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
