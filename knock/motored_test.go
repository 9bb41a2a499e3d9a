package knock

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"

	"example.org/bobweight/knock/correlations"
)

// The autoignition integral along a motored compression, by gonum's quadrature of
// this package's delay and crank: reference computation 0.4296.
func TestMotoredIntegral(t *testing.T) {
	c := newCrank(NewEngine(1, 0.08, 0.08, 0.14, 9, Fuel{RON: 90, MON: 80}))
	bottom, _, _ := c.at(-180)
	sum := quad.Fixed(func(angle float64) float64 {
		v, _, _ := c.at(angle)
		tau, err := correlations.Delay{}.Seconds(atmosphere*math.Pow(v/bottom, -1.32), 380*math.Pow(v/bottom, -0.32), 90)
		if err != nil {
			t.Fatal(err)
		}
		return 1 / tau / 6000
	}, -180, 20, 60, quad.Legendre{}, 0)
	report(t, "autoignition integral of a motored cycle", 0.4296, sum, 0.5e-4)
}
