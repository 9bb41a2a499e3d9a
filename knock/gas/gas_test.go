package gas

import (
	"errors"
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
		parts := []Part{{toluene, 0.4 / toluene.molar}, {octane, 0.6 / octane.molar}}
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

// The same report's example 1: hydrogen in air, stoichiometric, 3000 K and 1 atm.
func TestReportExampleOne(t *testing.T) {
	f, err := Mix(append(Air(0.5), Part{h2, 1})...)
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.Mixture().Equilibrium(3000, 101325)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]float64{"H2O": 0.20730, "H2": 0.06728, "OH": 0.04517, "H": 0.04075, "O2": 0.01876, "NO": 0.01230, "O": 0.01540} {
		near(t, "RP-1311 example 1 mole fraction of "+name, s.MoleFraction(name), want, 1e-5)
	}
	near(t, "RP-1311 example 1 molar mass, kg/kmol", 1000*R/s.R, 22.594, 0.5e-3)
}

// JANAF tables, 3rd ed. (1985), from memory: heat capacity at 1000 K and enthalpy
// over 298.15 K, J/(mol K) and kJ/mol. The coefficients of 2002 rest on newer data;
// the tables agree to 0.1 %, water vapour to 0.4 %.
func TestJANAF(t *testing.T) {
	for _, k := range []struct {
		s                   *Species
		cp, h1000, h2000, w float64
	}{
		{n2, 32.697, 21.463, 56.137, 1e-3}, {o2, 34.870, 22.703, 59.175, 1e-3}, {co2, 54.308, 33.397, 91.439, 1e-3},
		{h2o, 41.268, 26.000, 72.790, 4e-3}, {co, 33.183, 21.690, 56.744, 1e-3}, {h2, 30.205, 20.680, 52.951, 1e-3}, {ar, 20.786, 14.589, 35.375, 1e-3},
	} {
		at := func(kelvin float64) (cp, h float64) {
			cp, h, _, err := k.s.Properties(kelvin)
			if err != nil {
				t.Fatal(err)
			}
			return cp, h
		}
		_, h0 := at(298.15)
		cp, h1 := at(1000)
		_, h2 := at(2000)
		near(t, "JANAF cp at 1000 K of "+k.s.name, cp, k.cp, k.w*k.cp)
		near(t, "JANAF enthalpy at 1000 K of "+k.s.name, (h1-h0)/1e3, k.h1000, k.w*k.h1000)
		near(t, "JANAF enthalpy at 2000 K of "+k.s.name, (h2-h0)/1e3, k.h2000, k.w*k.h2000)
	}
}

// Liquid octane with theoretical air, complete combustion: 2395 K in Y. A. Cengel, M. A.
// Boles, Thermodynamics, example 15-8, and M. J. Moran, H. N. Shapiro, example 13.8. Both
// interpolate older tables; the coefficients of 2002 give 2392.5 K.
func TestOctaneFlames(t *testing.T) {
	products, err := Mix(Part{co2, 8}, Part{h2o, 9}, Part{n2, 47})
	if err != nil {
		t.Fatal(err)
	}
	h, err := Formation([]Part{{isoOctane, 1}, {o2, 12.5}, {n2, 47}}, []float64{-249950, 0, 0})
	if err != nil {
		t.Fatal(err)
	}
	kelvin, err := products.Temperature(h)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "liquid octane, complete combustion, K", kelvin, 2395, 0.0012*2395)

	// Reference computations of an independent solver on the same public data.
	for _, k := range []struct{ phi, kelvin, atm, open, closed float64 }{
		{1, 298.15, 1, 2270.3, 2635.7}, {0.8, 298.15, 1, 2046.5, 2433.7}, {1.2, 298.15, 1, 2207.1, 0}, {1, 700, 20e5 / 101325, 2559.5, 2904.9},
	} {
		f, err := Charge([]Part{{isoOctane, 1}}, k.phi)
		if err != nil {
			t.Fatal(err)
		}
		s, err := f.At(k.kelvin, k.atm*101325)
		if err != nil {
			t.Fatal(err)
		}
		open, err := f.Mixture().Burn(s.H, s.P)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "iso-octane flame at constant pressure, K", open.T, k.open, 0.06)
		if k.closed > 0 {
			closed, err := f.Mixture().BurnClosed(s.U(), s.V())
			if err != nil {
				t.Fatal(err)
			}
			near(t, "iso-octane flame at constant volume, K", closed.T, k.closed, 0.06)
		}
	}
}

// Equilibrium keeps the atoms, and its derivatives are those of its own states:
// cp = dH/dT, T dS = dH at constant pressure, and Gibbs energy is least there.
func TestEquilibriumLaws(t *testing.T) {
	for _, phi := range []float64{0.7, 1, 1.4} {
		m := surrogate(t, phi).Mixture()
		at := func(kelvin, pascal float64) State {
			s, err := m.Equilibrium(kelvin, pascal)
			if err != nil {
				t.Fatal(err)
			}
			return s
		}
		for _, kelvin := range []float64{900, 1500, 2200, 2900} {
			for _, pascal := range []float64{5e4, 2e6, 1e7} {
				s := at(kelvin, pascal)
				for k, b := range m.atoms {
					sum := 0.0
					for j, n := range s.Moles {
						sum += products[j].atoms[k] * n
					}
					if !(math.Abs(sum-b) <= 1e-9*b) {
						t.Errorf("phi %g, %g K: element %d is %g, want %g", phi, kelvin, k, sum, b)
					}
				}
				const d = 0.01
				a, b := at(kelvin-d, pascal), at(kelvin+d, pascal)
				if cp := (b.H - a.H) / (2 * d); !(math.Abs(cp/s.Cp-1) <= 2e-5) {
					t.Errorf("phi %g, %g K, %g Pa: cp %g, slope of the enthalpy %g", phi, kelvin, pascal, s.Cp, cp)
				}
				if ds := (b.S - a.S) / (2 * d) * kelvin; !(math.Abs(ds/s.Cp-1) <= 2e-5) {
					t.Errorf("phi %g, %g K, %g Pa: T dS/dT %g, want %g", phi, kelvin, pascal, ds, s.Cp)
				}
				// (dH/dp) at constant T is V (1 - dlnV/dlnT).
				x, y := at(kelvin, pascal*(1-1e-5)), at(kelvin, pascal*(1+1e-5))
				want := s.V() * (1 - s.dlnVdlnT)
				if slope := (y.H - x.H) / (2e-5 * pascal); !(math.Abs(slope-want) <= 1e-3*math.Abs(want)+1e-7*s.V()) {
					t.Errorf("phi %g, %g K, %g Pa: dH/dp %g, want %g", phi, kelvin, pascal, slope, want)
				}
			}
		}
	}
}

// An expansion at constant entropy returns where it came from, and its exponent is
// the slope of pressure over volume.
func TestExpandRoundTrip(t *testing.T) {
	m := surrogate(t, 1.1).Mixture()
	hot, err := m.Equilibrium(2700, 6e6)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := m.Expand(hot, 7*hot.V())
	if err != nil {
		t.Fatal(err)
	}
	back, err := m.Expand(cold, hot.V())
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(back.T-hot.T) <= 1e-3) || !(math.Abs(cold.S-hot.S) <= 1e-3) {
		t.Errorf("came back to %g K from %g, entropy %g and %g", back.T, hot.T, cold.S, hot.S)
	}
	near1, err := m.Expand(hot, hot.V()*1.0001)
	if err != nil {
		t.Fatal(err)
	}
	slope := -math.Log(near1.P/hot.P) / math.Log(near1.V()/hot.V())
	if !(math.Abs(slope/hot.Isentropic()-1) <= 1e-4) {
		t.Errorf("slope of the isentrope %g, exponent %g", slope, hot.Isentropic())
	}
}

func TestRefusals(t *testing.T) {
	nan := math.NaN()
	m := surrogate(t, 1).Mixture()
	f := surrogate(t, 1)
	refused := map[string]error{}
	_, _, _, refused["temperature of a species"] = n2.Properties(nan)
	_, _, _, refused["no species"] = (*Species)(nil).Properties(300)
	_, refused["zero mixture"] = Mixture{}.Equilibrium(2000, 1e5)
	_, refused["temperature"] = m.Equilibrium(nan, 1e5)
	_, refused["pressure"] = m.Equilibrium(2000, math.Inf(1))
	_, refused["enthalpy"] = m.Burn(nan, 1e5)
	_, refused["volume"] = m.BurnClosed(0, -1)
	_, refused["expansion"] = m.Expand(State{S: 8000}, nan)
	_, refused["amount"] = Mix(Part{n2, nan})
	_, refused["empty"] = Mix()
	_, refused["phi"] = Charge([]Part{{isoOctane, 1}}, -1)
	_, refused["no fuel"] = Charge(nil, 1)
	_, refused["frozen state"] = f.At(nan, 1e5)
	_, refused["zero gas"] = Frozen{}.At(300, 1e5)
	_, refused["enthalpy of a gas"] = f.Temperature(nan)
	_, refused["lists of unlike length"] = Formation([]Part{{n2, 1}}, nil)
	_, refused["compositions"] = Mixture{}.Compositions([]float64{1800}, []float64{1e5})
	_, refused["compositions at 0 K"] = f.Mixture().Compositions([]float64{0}, []float64{1e5})
	for name, err := range refused {
		if !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want a refusal", name, err)
		}
	}
}

func BenchmarkEquilibrium(b *testing.B) {
	m := surrogate(b, 1.1).Mixture()
	b.ReportAllocs()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		s, err := m.Equilibrium(1800+float64(i%10)*100, 3e6)
		if err != nil {
			b.Fatal(err)
		}
		sum += s.H
	}
	if sum == 0 {
		b.Fatal("no enthalpy")
	}
}

func surrogate(t testing.TB, phi float64) Frozen {
	t.Helper()
	f, err := Charge([]Part{{isoOctane, 0.65 / isoOctane.molar}, {toluene, 0.35 / toluene.molar}}, phi)
	if err != nil {
		t.Fatal(err)
	}
	return f
}
