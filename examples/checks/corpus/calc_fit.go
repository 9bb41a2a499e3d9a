package corpus

import (
	"fmt"

	"example.org/bobweight/examples/checks/problems"
	"example.org/bobweight/springs/leastsquares"
)

func init() {
	register("nonlinear regression", "leastsquares.Minimize", nonlinearRegression)
}

// nonlinearRegression fits a named model to data from a given start.
func nonlinearRegression(g *Given) (Found, error) {
	model, y := g.Word("model"), g.List("y", dimNumber)
	var x [][]float64
	if g.Has("x1") {
		x = append(x, g.List("x1", dimNumber), g.List("x2", dimNumber))
	} else {
		x = append(x, g.List("x", dimNumber))
	}
	p, err := problems.New(model, y, x...)
	if err != nil {
		return nil, err
	}
	b := g.List("start", dimNumber)
	rep, err := leastsquares.Minimize(p, b, nil, nil)
	if err != nil {
		return nil, err
	}
	if !rep.Converged {
		return nil, fmt.Errorf("the fit did not converge in %d steps", rep.Steps)
	}
	found := Found{"residual sum of squares": Number(rep.Sum)}
	for j, v := range b {
		found[fmt.Sprintf("b%d", j+1)] = Number(v)
	}
	return found, nil
}
