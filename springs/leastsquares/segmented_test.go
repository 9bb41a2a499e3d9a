package leastsquares_test

import (
	"math"
	"testing"

	"example.org/bobweight/springs/leastsquares"
)

// segmented is a parabola that meets a level at its top: y = a + b x + c x^2 up to
// x0 = -b/(2c), and what it is there beyond.
type segmented struct{ y, x []float64 }

func (p segmented) Size() (residuals, parameters int) { return len(p.y), 3 }

func (p segmented) Evaluate(b, r, jac []float64) {
	join := -b[1] / (2 * b[2])
	for i, x := range p.x {
		// Beyond the join the mean is a - b^2/(4c), of which the derivatives are these
		// too: the parabola is level at its top, so that the join's own shift does not count.
		x = math.Min(x, join)
		r[i] = b[0] + b[1]*x + b[2]*x*x - p.y[i]
		jac[3*i], jac[3*i+1], jac[3*i+2] = 1, x, x*x
	}
}

// A published piecewise regression: SAS/STAT User's Guide, the NLIN and HPNLMOD
// procedures, example "Segmented Model" (data and starting values, and the join point
// 12.7477 and plateau 0.7775 drawn in its figure, read in the sample library at
// support.sas.com, hpnlnex1). x = 13 stands there twice.
func TestSegmented(t *testing.T) {
	p := segmented{
		y: []float64{.46, .47, .57, .61, .62, .68, .69, .78, .70, .74, .77, .78, .74, .80, .80, .78},
		x: []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 13, 15, 16},
	}
	b := []float64{.45, .05, -.0025}
	rep, err := leastsquares.Minimize(p, b, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	join := -b[1] / (2 * b[2])
	plateau := b[0] + b[1]*join/2
	t.Logf("join %.6f, plateau %.6f, %d steps, converged %v", join, plateau, rep.Steps, rep.Converged)
	if !(math.Abs(join-12.7477) <= 0.00005) {
		t.Errorf("join point %.6f, published 12.7477", join)
	}
	if !(math.Abs(plateau-0.7775) <= 0.00005) {
		t.Errorf("plateau %.6f, published 0.7775", plateau)
	}
}
