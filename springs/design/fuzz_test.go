package design_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs/design"
)

// A part either is refused or has a law that passes its own check, and its
// coils cut off in two steps or one give the same.
func FuzzPart(f *testing.F) {
	f.Add(0.66e-3, 5.27e-3, 10.25, 1.9, 1.4e-3, 1.5, 300.0)
	f.Add(1e-4, 2e-4, 1e-6, 0.0, 0.0, 1e-7, 200.0)
	f.Add(6.5e-3, 0.65, 1e4, 1e9, 1e3, 5e3, 450.0)
	f.Add(math.NaN(), 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, d, mean, turns, initial, slot, cut, temperature float64) {
		loop := design.FullLoop(d, mean)
		p := design.Part{Material: design.MusicWire(), Diameter: d, MeanDiameter: mean, BodyCoils: turns, InitialTension: initial, Loops: [2]design.Loop{loop, loop}}
		p.Loops[1].Slot = slot
		s, err := p.Spring(temperature)
		if err != nil {
			return
		}
		if err := s.Check(); err != nil {
			t.Errorf("%+v is accepted but its law is not: %v", p, err)
		}
		if err := p.Check(); err != nil {
			t.Errorf("%+v has a law but fails its check: %v", p, err)
		}
		once, err := p.CutCoils(cut)
		if err != nil {
			return
		}
		half, err := p.CutCoils(cut / 2)
		if err != nil {
			t.Fatalf("half of a cut that was accepted: %v", err)
		}
		twice, err := half.CutCoils(cut / 2)
		if err != nil {
			t.Fatalf("the other half: %v", err)
		}
		if !scalar.EqualWithinAbsOrRel(once.BodyCoils, twice.BodyCoils, 1e-12*turns, 1e-12) {
			t.Errorf("%v turns cut at once leave %v, in two %v", cut, once.BodyCoils, twice.BodyCoils)
		}
		if longest, err := p.Longest(); err == nil && !(longest > s.FreeLength && !math.IsInf(longest, 0)) {
			t.Errorf("%+v: longest length %v m, free %v m", p, longest, s.FreeLength)
		}
	})
}
