package knock

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
)

// A. M. Douaud, P. Eyzat, SAE 780080 (1978), constants from memory; evaluations.
func TestDelay(t *testing.T) {
	for _, k := range []struct{ atm, kelvin, octane, ms, tol float64 }{
		{20, 750, 90, 12.04, 0.005}, {30, 800, 90, 4.402, 0.0005}, {30, 800, 100, 6.299, 0.0005}, {30, 800, 80, 2.948, 0.0005},
	} {
		s, err := Delay{}.Seconds(k.atm*atmosphere, k.kelvin, k.octane)
		if err != nil {
			t.Fatal(err)
		}
		report(t, "autoignition delay, ms", k.ms, s*1e3, k.tol)
		same, err := Delay{Scale: 1, Pressure: 1.7, Activation: 3800}.Seconds(k.atm*atmosphere, k.kelvin, k.octane)
		if err != nil || !(math.Abs(same/s-1) <= 1e-12) {
			t.Errorf("written out: %g against %g, %v", same, s, err)
		}
	}
	a, _ := Delay{}.Seconds(30*atmosphere, 800, 91)
	b, _ := Delay{Pressure: 1.3, Activation: 5000}.Seconds(30*atmosphere, 800, 91)
	report(t, "other exponents leave the pivot alone", 1, b/a, 1e-12)
	for _, bad := range []float64{math.NaN(), -1, math.Inf(1)} {
		if _, err := (Delay{}).Seconds(bad, 800, 90); !errors.Is(err, ErrRange) {
			t.Errorf("pressure %g: got %v", bad, err)
		}
		if _, err := (Delay{}).Seconds(3e6, bad, 90); !errors.Is(err, ErrRange) {
			t.Errorf("temperature %g: got %v", bad, err)
		}
	}
	report(t, "octane index of 95/85 at K = 0.5", 90, Fuel{RON: 95, MON: 85}.Index(0.5), 0)
	report(t, "octane index of 98/88 at K = 0.2", 96, Fuel{RON: 98, MON: 88}.Index(0.2), 1e-12)
}

// The autoignition integral along a motored compression, by gonum's quadrature of
// this package's delay and crank: reference computation 0.4296.
func TestMotoredIntegral(t *testing.T) {
	c := newCrank(NewEngine(1, 0.08, 0.08, 0.14, 9, Fuel{RON: 90, MON: 80}))
	bottom, _, _ := c.at(-180)
	sum := quad.Fixed(func(angle float64) float64 {
		v, _, _ := c.at(angle)
		tau, err := Delay{}.Seconds(atmosphere*math.Pow(v/bottom, -1.32), 380*math.Pow(v/bottom, -0.32), 90)
		if err != nil {
			t.Fatal(err)
		}
		return 1 / tau / 6000
	}, -180, 20, 60, quad.Legendre{}, 0)
	report(t, "autoignition integral of a motored cycle", 0.4296, sum, 0.5e-4)
}
