package leastsquares_test

import (
	"fmt"
	"math"

	"example.org/bobweight/springs/leastsquares"
)

// cooling is the law a exp(-t/b) through readings of a cup, made up.
type cooling struct{ t, y []float64 }

func (c cooling) Size() (residuals, parameters int) { return len(c.t), 2 }

func (c cooling) Evaluate(x, r, jac []float64) {
	for i, t := range c.t {
		e := math.Exp(-t / x[1])
		r[i] = x[0]*e - c.y[i]
		jac[2*i], jac[2*i+1] = e, x[0]*e*t/(x[1]*x[1])
	}
}

func ExampleMinimize() {
	d := cooling{t: []float64{0, 5, 10, 20, 40}, y: []float64{60, 46.7, 36.4, 22.1, 8.1}}
	x := []float64{50, 10}
	rep, err := leastsquares.Minimize(d, x, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f at first, falling to 1/e in %.0f minutes; converged: %v\n", x[0], x[1], rep.Converged)
	// Output:
	// 60 at first, falling to 1/e in 20 minutes; converged: true
}
