package gas

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	t.Logf("%-44s published %12.6g computed %12.6g", what, want, got)
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.8g, want %.8g within %.3g", what, got, want, tol)
	}
}

// S. Gordon, B. J. McBride, NASA RP-1311 part II (1996), example 3: 0.4 toluene and
// 0.6 n-octane by mass, liquid at 298.15 K, in air of 700 K, oxidant to fuel 17 by
// mass, burnt at constant enthalpy; reference output of the agency's own code.
func TestReportExampleThree(t *testing.T) {
	for _, c := range []struct{ bar, kelvin, gamma, cp float64 }{
		{100, 2418.66, 1.2257, 1609.4},
		{10, 2390.59, 1.2061, 1816.7},
		{1, 2338.84, 0, 0},
	} {
		octane := &Species{name: "n-octane", atoms: atoms{8, 18}, molar: 114.22852e-3}
		// Air in the report's data set: 28.9651159 g/mol in these shares.
		parts := []Part{{Toluene, 0.4 / Toluene.molar}, {octane, 0.6 / octane.molar}}
		molar := []float64{12180, -250260} // liquid enthalpies of formation, J/mol, same data file
		air, err := Mix(dryAir[:]...)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range air.parts {
			_, h, _, err := p.Species.Properties(700)
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, Part{p.Species, 17 * p.Moles})
			molar = append(molar, h)
		}
		h, err := Formation(parts, molar)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Mix(parts...)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.Mixture().Burn(h, c.bar*1e5)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "RP-1311 example 3 flame temperature, K", s.T, c.kelvin, 0.1)
		if c.cp > 0 {
			near(t, "RP-1311 example 3 isentropic exponent", s.Isentropic(), c.gamma, 0.5e-4)
			near(t, "RP-1311 example 3 cp, J/(kg K)", s.Cp, c.cp, 0.05)
		}
	}
}
