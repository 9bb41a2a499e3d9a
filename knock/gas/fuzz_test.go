package gas

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Every state and flame, over the whole of float64: finite numbers or a refusal, and no panic.
func FuzzStates(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(1.1, 2400.0, 3e6, 1.0, 0.5, -2e5, 0.4)
	f.Add(0.7, 250.0, 1e3, 0.0, 0.0, 1e9, 1e-3)
	f.Add(1.0, 1.5e-323, 3e6, 1.4319312176991103e+77, 0.5, -math.MaxFloat64, 0.4) // no slope to follow
	f.Add(math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -1.0, math.NaN(), 0.0)
	f.Add(math.MaxFloat64, math.SmallestNonzeroFloat64, math.MaxFloat64, math.MaxFloat64, math.MaxFloat64, math.MaxFloat64, math.MaxFloat64)
	f.Fuzz(func(t *testing.T, phi, kelvin, pascal, octane, aromatic, energy, volume float64) {
		refusal := func(what string, err error) bool {
			t.Helper()
			if err != nil && !errors.Is(err, errRange) && !errors.Is(err, errConvergence) {
				t.Errorf("%s: %v", what, err)
			}
			return err != nil
		}
		state := func(what string, s State, err error) {
			t.Helper()
			if !refusal(what, err) && !valid.Finite(s.T, s.H, s.Cp, s.U(), s.V(), s.Cv()) {
				t.Errorf("%s: %+v without an error", what, s)
			}
		}
		cp, h, entropy, err := co.Properties(kelvin)
		if !refusal("species", err) && !valid.Finite(cp, h, entropy) {
			t.Errorf("carbon monoxide at %g K: %g %g %g", kelvin, cp, h, entropy)
		}
		fresh, err := Charge([]Part{{Species: isoOctane, Moles: octane}, {Species: toluene, Moles: aromatic}}, phi)
		if refusal("charge", err) {
			return
		}
		s, err := fresh.At(kelvin, pascal)
		state("fresh charge", s, err)
		m := fresh.Mixture()
		s, err = m.Equilibrium(kelvin, pascal)
		state("equilibrium", s, err)
		s, err = m.Burn(energy, pascal)
		state("flame", s, err)
		s, err = m.BurnClosed(energy, volume)
		state("closed flame", s, err)
		kelvins, err := fresh.Temperature(energy)
		if !refusal("temperature", err) && !valid.Finite(kelvins) {
			t.Errorf("temperature %g", kelvins)
		}
	})
}
