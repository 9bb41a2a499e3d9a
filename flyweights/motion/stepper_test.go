package motion

import (
	"math"
	"testing"
)

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.15g, want %.15g, difference %.3g above %.3g", what, got, want, got-want, tol)
	}
}

// pendulum is y” = -sin y, which has no special symmetry that would lift the
// order; a reference comes from steps a hundred times smaller.
func pendulum(_ float64, y vec) vec { return vec{y[1], -math.Sin(y[0])} }

// fixed integrates with n equal steps to time 2 and returns the end.
func fixed(n int) (end vec, last *stepper) {
	s := &stepper{f: pendulum, relative: 1, absolute: vec{1, 1}}
	s.begin(0, vec{1, 0.5})
	for range n {
		if s.h != 0 {
			s.t, s.y = s.t+s.h, s.end
			s.k[0] = s.k[stages-1]
		}
		s.try(2 / float64(n))
		s.h = 2 / float64(n)
	}
	return s.end, s
}

// Halving the step divides the error by 2^5 at the end of a run, and by 2^5
// inside one step for the continuous extension, whose local order is one above
// its global order 4.
func TestObservedOrder(t *testing.T) {
	exact, _ := fixed(4000)
	off := func(n int) float64 {
		y, _ := fixed(n)
		return math.Hypot(y[0]-exact[0], y[1]-exact[1])
	}
	for _, n := range []int{20, 40} {
		if order := math.Log2(off(n) / off(2*n)); !(order > 4.8 && order < 5.3) {
			t.Errorf("observed order %.3f at %d steps, want 5", order, n)
		}
	}
	inside := func(h float64) float64 {
		s := &stepper{f: pendulum, relative: 1, absolute: vec{1, 1}}
		s.begin(0, vec{1, 0.5})
		s.try(h)
		s.h = h
		worst := 0.0
		for _, x := range []float64{0.2, 0.35, 0.5, 0.8} {
			fine := &stepper{f: pendulum, relative: 1, absolute: vec{1, 1}}
			fine.begin(0, vec{1, 0.5})
			for k := range 200 {
				if k > 0 {
					fine.t, fine.y, fine.k[0] = fine.t+fine.h, fine.end, fine.k[stages-1]
				}
				fine.try(x * h / 200)
				fine.h = x * h / 200
			}
			y := s.at(x)
			worst = math.Max(worst, math.Hypot(y[0]-fine.end[0], y[1]-fine.end[1]))
		}
		return worst
	}
	if order := math.Log2(inside(0.4) / inside(0.2)); !(order > 4.7 && order < 5.5) {
		t.Errorf("observed order %.3f of the continuous extension, want 5 locally", order)
	}
}

// The accepted error follows the tolerance asked for, on y” = -y against the
// cosine, and the work grows as the fifth root of the accuracy.
func TestToleranceIsKept(t *testing.T) {
	circle := func(_ float64, y vec) vec { return vec{y[1], -y[0]} }
	work := map[float64]int{}
	for _, tol := range []float64{1e-5, 1e-10} {
		s := &stepper{f: circle, relative: tol, absolute: vec{tol, tol}, next: 0.1}
		s.begin(0, vec{1, 0})
		for s.t+s.h < 20 {
			s.advance(20)
		}
		within(t, "cosine", s.end[0], math.Cos(20), 20*tol)
		within(t, "sine", s.end[1], -math.Sin(20), 20*tol)
		work[tol] = s.steps
	}
	if growth := float64(work[1e-10]) / float64(work[1e-5]); !(growth > 8 && growth < 12) {
		t.Errorf("steps grow %g times for 1e5 times the accuracy, want about 10", growth)
	}
}

// A root inside a step is found to the accuracy of the continuous extension.
func TestRoot(t *testing.T) {
	circle := func(_ float64, y vec) vec { return vec{y[1], -y[0]} }
	s := &stepper{f: circle, relative: 1, absolute: vec{1, 1}}
	s.begin(0, vec{1, 0})
	s.try(0.1)
	s.h = 0.1
	x := s.root(0, 1, func(y vec) float64 { return y[0] - math.Cos(0.0437) })
	within(t, "time of the crossing", x*0.1, 0.0437, 1e-8)
}
