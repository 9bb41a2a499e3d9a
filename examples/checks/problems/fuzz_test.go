package problems_test

import (
	"math"
	"testing"

	"example.org/bobweight/examples/checks/problems"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/leastsquares"
)

// A model with any data and parameters is refused, or tells as many residuals and
// derivatives as it says; what leastsquares makes of it is an error or numbers.
func FuzzProblem(tf *testing.F) {
	f := fuzzing.New(tf)
	names := []string{"b1*(1-exp(-b2*x))", "b1*exp(b2/(x+b3))", "b1*x^b2", "b1*b2*x/(1+b2*x)", "b1*(b2+x)^(-1/b3)", "log(y) = b1 - b2*x1*exp(-b3*x2)", "b1*exp(-b2*x) + b3*exp(-(x-b4)^2/b5^2) + b6*exp(-(x-b7)^2/b8^2)"}
	for i, name := range names {
		f.Add(name, []byte{10, 17, 20, 33, 35, 47, 58, 62, 71, 90}, 1.0, 0.5)
		f.Add(name, []byte{1, 1, 1}, math.Pow(10, 100*float64(i)), -1e300)
	}
	f.Add("none", []byte(nil), math.NaN(), math.Inf(1))
	f.Fuzz(func(t *testing.T, name string, data []byte, from, step float64) {
		var y, x []float64
		for i, v := range data[:min(len(data), 30)] {
			y, x = append(y, float64(v)+1), append(x, from+step*float64(i))
		}
		p, err := problems.New(name, y, x)
		if name == names[5] {
			p, err = problems.New(name, y, x, y)
		}
		if err != nil {
			if err.Error() == "" {
				t.Error("refused without a word")
			}
			return
		}
		residuals, parameters := p.Size()
		if residuals != len(y) || parameters < 2 {
			t.Errorf("%d residuals of %d, %d parameters", residuals, len(y), parameters)
		}
		b := make([]float64, parameters)
		for i := range b {
			b[i] = from + float64(i)
		}
		var work leastsquares.Work
		r, err := leastsquares.Minimize(p, b, &leastsquares.Settings{MaxSteps: 30}, &work)
		fuzzing.Finite(t, "fit", err, r, b)
	})
}
