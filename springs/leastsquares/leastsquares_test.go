package leastsquares

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/valid"
)

// line is the problem y = x[0] + x[1] t.
type line struct{ t, y []float64 }

func (l line) Size() (residuals, parameters int) { return len(l.t), 2 }

func (l line) Evaluate(x, r, jac []float64) {
	for i, t := range l.t {
		r[i] = x[0] + x[1]*t - l.y[i]
		jac[2*i], jac[2*i+1] = 1, t
	}
}

// In a box the minimum of a linear problem meets the Kuhn-Tucker conditions; by
// hand: with the slope held to at most 1, the best intercept is the mean of y - t.
func TestBox(t *testing.T) {
	p := line{t: []float64{0, 1, 2, 3}, y: []float64{0, 2, 4, 6}}
	inf := math.Inf(1)
	x := []float64{5, 0}
	rep, err := Minimize(p, x, &Settings{Low: []float64{-inf, -1}, High: []float64{inf, 1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	const tol = 1e-9 // of the stopping rule
	if !(math.Abs(x[0]-1.5) <= tol) || x[1] != 1 || !(math.Abs(rep.Sum-5) <= tol) {
		t.Errorf("got %v with sum %g, want [1.5 1] with sum 5", x, rep.Sum)
	}
	// A perfect fit ends at once.
	x = []float64{0, 2}
	rep, err = Minimize(p, x, nil, nil)
	if err != nil || rep.Sum != 0 || !rep.Converged {
		t.Errorf("perfect start: %+v, %v", rep, err)
	}
	if _, err := Minimize(p, []float64{1, 1}, &Settings{MaxSteps: 1}, nil); err != nil {
		t.Error(err)
	}
}

func TestRefuses(t *testing.T) {
	p := line{t: []float64{0, 1, 2}, y: []float64{0, 1, 2}}
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"length": func() error { _, err := Minimize(p, []float64{1}, nil, nil); return err },
		"NaN":    func() error { _, err := Minimize(p, []float64{1, nan}, nil, nil); return err },
		"data": func() error {
			_, err := Minimize(line{p.t, []float64{0, nan, 1}}, []float64{1, 1}, nil, nil)
			return err
		},
		"outside": func() error {
			_, err := Minimize(p, []float64{1, 1}, &Settings{High: []float64{0, 9}}, nil)
			return err
		},
		"box length": func() error {
			_, err := Minimize(p, []float64{1, 1}, &Settings{Low: []float64{0}}, nil)
			return err
		},
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: got %v, want ErrRange", name, err)
		}
	}
}

func TestStepsSpent(t *testing.T) {
	x := []float64{50, 0.01}
	rep, err := Minimize(decay{[]float64{0, 10, 20}, []float64{70, 45, 28}}, x, &Settings{MaxSteps: 2}, nil)
	if err != nil || rep.Converged || rep.Steps != 2 {
		t.Errorf("after two steps: %+v, error %v", rep, err)
	}
}

// decay is an exponential law through readings of a cooling cup, made up.
type decay struct{ t, y []float64 }

func (d decay) Size() (residuals, parameters int) { return len(d.t), 2 }

func (d decay) Evaluate(x, r, jac []float64) {
	for i, t := range d.t {
		e := math.Exp(-t / x[1])
		r[i] = x[0]*e - d.y[i]
		jac[2*i], jac[2*i+1] = e, x[0]*e*t/(x[1]*x[1])
	}
}
