package knock

import (
	"errors"
	"math"
	"testing"
)

// report logs a published and a computed number side by side and fails outside a
// tolerance; NaN fails.
func report(t *testing.T, what string, published, got, tol float64) {
	t.Helper()
	t.Logf("%-58s published %10.5g computed %10.5g", what, published, got)
	if !(math.Abs(got-published) <= tol) {
		t.Errorf("%s: got %.7g, want %.7g within %.3g", what, got, published, tol)
	}
}

// An instantaneous burn at top centre without heat loss in a gas of constant heat
// capacity is the Otto cycle: efficiency 1 - r^(1-gamma), whatever the heat.
// Temperatures and pressures against Y. A. Cengel's and C. Borgnakke's textbooks are
// in the corpus; here the closed form is the reference.
func TestOttoLimit(t *testing.T) {
	for _, k := range []struct{ ratio, gamma, heat, kelvin float64 }{
		{8, 1.4, 1e6, 288}, {6, 1.4, 6e5, 300}, {10, 1.35, 1.2e6, 300},
	} {
		i, err := AirStandard{Ratio: k.ratio, Pressure: 1e5, Temperature: k.kelvin, Heat: k.heat, Cv: 718, Gamma: k.gamma}.Run()
		if err != nil {
			t.Fatal(err)
		}
		t2 := k.kelvin * math.Pow(k.ratio, k.gamma-1)
		t3 := t2 + k.heat/718
		report(t, "Otto efficiency", 1-math.Pow(k.ratio, 1-k.gamma), i.Efficiency, 2e-6)
		report(t, "Otto temperature after compression, K", t2, i.T2, 0.01)
		report(t, "Otto highest temperature, K", t3, i.T3, 0.01)
		report(t, "Otto temperature at the end of expansion, K", t3*math.Pow(k.ratio, 1-k.gamma), i.T4, 0.02)
		report(t, "Otto highest pressure, bar", t3/k.kelvin*k.ratio, i.P3/1e5, 2e-3)
	}
	// Y. A. Cengel, M. A. Boles, Thermodynamics, example 9-2: air with the heat
	// capacities of its temperature, from an air table.
	i, err := AirStandard{Ratio: 8, Pressure: 1e5, Temperature: 290, Heat: 8e5}.Run()
	if err != nil {
		t.Fatal(err)
	}
	report(t, "Otto with real air, T2, K", 652.4, i.T2, 0.5)
	report(t, "Otto with real air, T3, K", 1575.1, i.T3, 0.5)
	report(t, "Otto with real air, T4, K", 795.6, i.T4, 0.5)
	report(t, "Otto with real air, work, kJ/kg", 418.17, i.Work/1e3, 0.3)
	peak, err := AirStandard{Ratio: 8, Pressure: 1e5, Temperature: 290, Peak: i.T3}.Run()
	if err != nil {
		t.Fatal(err)
	}
	report(t, "heat found from the highest temperature, kJ/kg", 800, peak.Heat/1e3, 0.01)
	for _, bad := range []AirStandard{{}, {Ratio: 8, Pressure: 1e5, Temperature: math.NaN()}, {Ratio: 8, Pressure: 1e5, Temperature: 300, Heat: 4.5e6}} {
		if _, err := bad.Run(); !errors.Is(err, errRange) {
			t.Errorf("%+v: got %v, want a refusal", bad, err)
		}
	}
}
