package properties

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/knock/gas"
	"example.org/bobweight/springs/valid"
)

func surrogate(t testing.TB, phi float64) gas.Frozen {
	t.Helper()
	octane, toluene := gas.Named("iso-octane"), gas.Named("toluene")
	f, err := gas.Charge([]gas.Part{{Species: octane, Moles: 0.65 / octane.MolarMass()}, {Species: toluene, Moles: 0.35 / toluene.MolarMass()}}, phi)
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

func TestRefused(t *testing.T) {
	refused := map[string]error{}
	_, _, refused["perfect"] = Perfect(287, 200, 0)
	_, _, refused["perfect without heat"] = Perfect(287, 1000, math.NaN())
	_, _, refused["inert"] = Inert(gas.Frozen{}, 0)
	_, _, refused["inert with heat"] = Inert(surrogate(t, 1), math.Inf(1))
	_, refused["table"] = NewTable(gas.Mixture{})
	_, refused["curve"] = NewCurve(gas.Frozen{})
	for name, err := range refused {
		if !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: got %v, want a refusal", name, err)
		}
	}
}

func BenchmarkTableAt(b *testing.B) {
	table, err := NewTable(surrogate(b, 1.1).Mixture())
	if err != nil {
		b.Fatal(err)
	}
	sum := 0.0
	var g Burned
	for i := 0; b.Loop(); i++ {
		table.At(1500+float64(i%1000), 14.5, &g)
		sum += g.R
	}
	if !(sum > 0) {
		b.Fatal("no gas")
	}
}
