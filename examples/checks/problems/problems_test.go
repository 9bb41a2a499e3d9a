package problems_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.org/bobweight/examples/checks/problems"
	"example.org/bobweight/springs/leastsquares"

	"example.org/bobweight/springs/valid"
)

const (
	power  = "b1*x^b2"
	nelson = "log(y) = b1 - b2*x1*exp(-b3*x2)"
)

func TestNewRefuses(t *testing.T) {
	y, nan, zero := []float64{1, 2, 3}, []float64{1, math.NaN(), 3}, []float64{0, 1, 2}
	for _, c := range []struct {
		name, model string
		y           []float64
		x           [][]float64
	}{
		{"unknown model", "b1*x", y, [][]float64{y}},
		{"no predictor", power, y, nil},
		{"second predictor", power, y, [][]float64{y, y}},
		{"short predictor", power, y, [][]float64{y[:2]}},
		{"too few responses", power, y[:1], [][]float64{y[:1]}},
		{"NaN response", power, nan, [][]float64{y}},
		{"NaN predictor", power, y, [][]float64{nan}},
		{"logarithm of zero", nelson, zero, [][]float64{y, y}},
	} {
		if p, err := problems.New(c.model, c.y, c.x...); p != nil || !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: got %v, %v, want an error that wraps %q", c.name, p, err, valid.ErrRange)
		}
	}
}

// The derivatives are those of the power law in closed form.
func TestDerivatives(t *testing.T) {
	p, err := problems.New(power, []float64{0, 0}, []float64{2, 5})
	if err != nil {
		t.Fatal(err)
	}
	r, jac := make([]float64, 2), make([]float64, 4)
	p.Evaluate([]float64{3, 1.5}, r, jac)
	for i, x := range []float64{2, 5} {
		v := math.Pow(x, 1.5)
		for k, got := range []float64{r[i], jac[2*i], jac[2*i+1]} {
			want := []float64{3 * v, v, 3 * v * math.Log(x)}[k]
			if !(math.Abs(got-want) <= 1e-13*want) {
				t.Errorf("at %g: value %d is %g, want %g", x, k, got, want)
			}
		}
	}
}

func ExampleNew() {
	p, err := problems.New(power, []float64{2, 16, 54}, []float64{1, 2, 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	b := []float64{1, 2}
	_, err = leastsquares.Minimize(p, b, nil, nil)
	fmt.Printf("b1 %.6f, b2 %.6f, %v\n", b[0], b[1], err)
	// Output: b1 2.000000, b2 3.000000, <nil>
}
