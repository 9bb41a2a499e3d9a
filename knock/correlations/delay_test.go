package correlations

import (
	"errors"
	"math"
	"testing"
)

// A. M. Douaud, P. Eyzat, SAE 780080 (1978), constants read in public programs; evaluations.
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
		if _, err := (Delay{}).Seconds(bad, 800, 90); !errors.Is(err, errRange) {
			t.Errorf("pressure %g: got %v", bad, err)
		}
		if _, err := (Delay{}).Seconds(3e6, bad, 90); !errors.Is(err, errRange) {
			t.Errorf("temperature %g: got %v", bad, err)
		}
	}
}
