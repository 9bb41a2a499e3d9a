package design

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// A part either is refused or has a law that passes its own check, and its
// coils cut off in two steps or one give the same.
func FuzzPart(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.66e-3, 5.27e-3, 10.25, 1.9, 1.4e-3, 1.5, 300.0)
	f.Add(1e-4, 2e-4, 1e-6, 0.0, 0.0, 1e-7, 200.0)
	f.Add(6.5e-3, 0.65, 1e4, 1e9, 1e3, 5e3, 450.0)
	f.Add(math.NaN(), 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Add(1e-4, 2e-4, 9.75e-7, 0.0, 0.0, 1e-7, 200.0) // takes set at its free length, but for rounding
	f.Fuzz(func(t *testing.T, d, mean, turns, initial, slot, cut, temperature float64) {
		loop := FullLoop(d, mean)
		p := Part{Material: MusicWire(), Diameter: d, MeanDiameter: mean, BodyCoils: turns, InitialTension: initial, Loops: [2]Loop{loop, loop}}
		p.Loops[1].Slot = slot
		s, err := p.Spring(temperature)
		if err != nil {
			return
		}
		if err := s.Check(); err != nil {
			t.Errorf("%+v is accepted but its law is not: %v", p, err)
		}
		if err := p.check(); err != nil {
			t.Errorf("%+v has a law but fails its check: %v", p, err)
		}
	})
}

// Any numbers in every function of the chapter are refused in words or give
// numbers.
func FuzzDesign(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.8e-3, 6e-3, 9.0, 80e9, 5.0, 8.0, 0.02, 300.0)
	f.Add(1e-5, 1e-3, 1e4, 3e11, 1e9, 16.0, 1e3, 450.0)
	f.Add(1e-300, 1e300, 5e-324, 1e308, 1e300, 4.0, 1e-300, 200.0)
	f.Add(1e-5, 1e-3, 1.5e-323, 3e11, 0.28, 16.0, 1e3, 450.0)         // stiff without end
	f.Add(1e-5, 1e-3, 1e4, 3e11, 5e-324, 16.0, 1e3, 450.0)            // coils without end
	f.Add(-8.8e-10, 6e-3, 9.0, 8e10, 5e-324, 24.0, 0.13, 300.0)       // safe without end
	f.Add(0.8e-3, 6e-3, 9.0, 5e-324, 1e-323, 11.6, 0.02, 300.0)       // and so with no force
	f.Add(3.6e-301, 1e-300, 31055.8, -1e-88, 3.7e8, 26.3, 1e3, 450.0) // a cube that runs under
	f.Add(math.NaN(), math.Inf(1), 0.0, -1.0, math.NaN(), math.Inf(-1), math.NaN(), 0.0)
	f.Fuzz(func(t *testing.T, d, mean, coils, modulus, force, index, length, temperature float64) {
		fair := func(what string, err error, values ...float64) {
			t.Helper()
			if err == nil && !valid.Finite(values...) || err != nil && !errors.Is(err, valid.ErrRange) {
				t.Errorf("%s: %v, %v", what, values, err)
			}
		}
		one := func(what string) func(float64, error) {
			return func(v float64, err error) { t.Helper(); fair(what, err, v) }
		}
		w := Wire{Diameter: d, MeanDiameter: mean, ActiveCoils: coils, ShearModulus: modulus}
		one("rate")(w.Rate())
		one("surge")(w.Surge(modulus))
		low, middle, high, err := w.initialTension()
		fair("initial tension", err, low, middle, high)
		for _, k := range append(corrections, "") {
			one("torsion")(w.Torsion(force, k))
		}
		for _, c := range append(criteria, "") {
			one("safety")(c.SafetyFactor(force, modulus, Endurance{Alternating: length, Steady: coils}, temperature))
		}
		for e := range 4 {
			s := Compression{Wire: w, Squared: e&1 != 0, Ground: e&2 != 0}
			one("solid")(s.Solid())
			one("stable")(s.Stable(index))
		}
		one("hook")(HookBending(force, mean, d, length))
		broad, long, err := Tolerances(mean, length, index)
		fair("size tolerances", err, broad, long)
		one("load tolerance")(LoadTolerance(index, coils, d))
		for table := range strengthTables {
			one(table)(TabulatedStrength(table, d))
		}
		for _, m := range append(Materials(), Material{}) {
			one("tensile")(m.Tensile(d))
			shear, young, err := m.Elastic(d, temperature)
			fair("elastic", err, shear, young)
		}
		loop := FullLoop(d, mean)
		loop.Slot = length / 10
		p := Part{Material: MusicWire(), Diameter: d, MeanDiameter: mean, BodyCoils: coils, InitialTension: force, Loops: [2]Loop{loop, loop}}
		st, err := p.Stress(force)
		fair("stress", err, st.Body, st.HookBending, st.HookTorsion)
		st, err = p.Static(force)
		fair("static", err, st.Body, st.HookBending, st.HookTorsion, st.least())
		fat, err := p.Fatigue(force, force*1.5, Zimmerli(false), Gerber)
		fair("fatigue", err, fat.Safety.Body, fat.Safety.HookBending, fat.Safety.HookTorsion, fat.Yield)
		found, err := Springs(Wanted{Rate: modulus, Tension: force, Length: length, Longest: length * 1.2},
			Stock{Material: MusicWire(), Wires: MusicWireSizes(), IndexMost: index})
		fair("design", err)
		for _, c := range found {
			fair("choice", nil, c.Safety, c.Stretch, c.Winding, c.Spring.Rate, c.Part.MeanDiameter)
		}
	})
}
