package gas

import (
	"math"
	"testing"
)

func surrogate(t testing.TB, phi float64) Frozen {
	t.Helper()
	f, err := Charge([]Part{{IsoOctane, 0.65 / IsoOctane.molar}, {Toluene, 0.35 / Toluene.molar}}, phi)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// The table against the equilibrium it was made from, between its grid points.
func TestTableAgainstEquilibrium(t *testing.T) {
	for _, phi := range []float64{0.8, 1, 1.1, 1.3} {
		m := surrogate(t, phi).Mixture()
		table, err := NewTable(m)
		if err != nil {
			t.Fatal(err)
		}
		worstH, worstR, worstCp := 0.0, 0.0, 0.0
		for kelvin := 1937.0; kelvin < 3300; kelvin += 61 {
			for pascal := 1.3e5; pascal < 1.5e7; pascal *= 1.71 {
				s, err := m.Equilibrium(kelvin, pascal)
				if err != nil {
					t.Fatal(err)
				}
				var b Burned
				table.At(kelvin, math.Log(pascal), &b)
				worstH = math.Max(worstH, math.Abs(b.H-s.H))
				worstR = math.Max(worstR, math.Abs(b.R-s.R))
				worstCp = math.Max(worstCp, math.Abs(b.HT/s.Cp-1))
			}
		}
		t.Logf("phi %.1f: enthalpy within %.0f J/kg, gas constant within %.4f J/(kg K), heat capacity within %.2g", phi, worstH, worstR, worstCp)
		if !(worstH <= 250) || !(worstR <= 0.005) || !(worstCp <= 0.002) {
			t.Errorf("phi %g: table off by %g J/kg, %g J/(kg K), cp %g", phi, worstH, worstR, worstCp)
		}
	}
}
