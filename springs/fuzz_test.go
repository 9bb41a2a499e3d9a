package springs_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever passes Check pulls with finite numbers: never a push, rising with
// length, energy convex above the chord of its tension, Length the inverse of Load.
func FuzzSpring(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(1400.0, 0.0195, 1.3, 0.0008, 0.0223)
	f.Add(1e12, 1e-9, 0.0, 0.0, 0.5)
	f.Add(1e-300, 1e3, 1e9, 1e3, 999.0)
	f.Add(1e-300, 476.8, 1e-300, 0.0, 999.0) // rounding at the smallest numbers
	f.Add(7.940163580835716e-301, 4.774891133614046e-14, 1.9546027056780365e-301, 0.0, 0.49999999999999994)
	f.Add(math.NaN(), 1.0, 1.0, 1.0, math.Inf(-1))
	f.Fuzz(func(t *testing.T, rate, free, initial, slack, length float64) {
		s := springs.Spring{Rate: rate, FreeLength: free, InitialTension: initial, Slack: slack}
		pull, energy := s.Tension(length), s.Energy(length)
		if s.Check() != nil {
			if _, err := s.Load(length); err == nil {
				t.Errorf("%+v fails its check but pulls %v N", s, pull)
			}
			return
		}
		load, err := s.Load(length)
		if err != nil {
			return // a length out of range
		}
		if load != pull || !(load >= 0) || math.IsInf(load, 0) || !(energy >= 0) || math.IsInf(energy, 0) {
			t.Errorf("%+v at %v m: load %v N, tension %v N, energy %v J", s, length, load, pull, energy)
		}
		if more := s.Tension(length + 1e-3); !(more >= load) {
			t.Errorf("%+v pulls %v N at %v m and %v N 1 mm further", s, load, length, more)
		}
		// Between the initial and the full tension, on average half way.
		if x := length - s.TakeUp(); x > 0 {
			if mean := (s.InitialTension + load) / 2; !scalar.EqualWithinRel(energy, mean*x, 1e-9) && energy > 1e-280 {
				t.Errorf("%+v at %v m: energy %v J, mean tension times stretch %v J", s, length, energy, mean*x)
			}
		}
		back, err := s.Length(load)
		if err != nil {
			return // beyond the largest force
		}
		// A difference below the smallest normal number has no relative size.
		if again := s.Tension(back); load > max(s.InitialTension, 1e-280) && !scalar.EqualWithinAbsOrRel(again, load, 4e-16*back*rate, 1e-9) {
			t.Errorf("%+v: %v N at %v m, but %v N at the length for it", s, load, length, again)
		}
	})
}

// Any four readings are refused or give a spring that passes its check, with
// finite covariance and a chance from 0 to 1.
func FuzzMeasure(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.0195, 0.9, 0.0195, 1.8, 0.0208, 3.1, 0.0225, 5.0, 2e-5, 0.02)
	f.Add(0.02, 1.0, 0.02, 1.0, 0.02, 1.0, 0.02, 1.0, 1e-12, 0.0)
	f.Add(1e-9, 1e9, 1e3, 0.0, 1e3, 1e9, 1.0, 1e-9, 1e3, 1e9)
	f.Add(math.NaN(), 1.0, 0.0, 0.0, 1.0, math.Inf(1), 1.0, 1.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, l1, f1, l2, f2, l3, f3, l4, f4, sigmaLength, sigmaLoad float64) {
		var rs []springs.Reading
		for _, r := range [][2]float64{{l1, f1}, {l2, f2}, {l3, f3}, {l4, f4}} {
			rs = append(rs, springs.Reading{Length: r[0], Load: r[1], SigmaLength: sigmaLength, SigmaLoad: sigmaLoad})
		}
		whole, errWhole := springs.MeasurePiecewise(rs)
		open, errOpen := springs.Measure(rs[1:], l1, sigmaLength)
		for _, m := range []struct {
			*springs.Measured
			err error
		}{{whole, errWhole}, {open, errOpen}} {
			if m.err != nil {
				continue
			}
			if err := m.Spring.Check(); err != nil {
				t.Errorf("%v gave a spring that fails its check: %v", rs, err)
			}
			if !(m.PValue >= 0 && m.PValue <= 1) {
				t.Errorf("%v: chance %v", rs, m.PValue)
			}
			for i := range 3 {
				for j := range 3 {
					if v := m.Covariance.At(i, j); math.IsNaN(v) || math.IsInf(v, 0) || (i == j && v < 0) {
						t.Errorf("%v: covariance %d %d is %v", rs, i, j, v)
					}
				}
			}
		}
	})
}
