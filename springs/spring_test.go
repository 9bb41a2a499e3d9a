package springs_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/bobweight/springs"

	"example.org/bobweight/springs/valid"
)

// a spring of a spark-advance mechanism's size, with every field in play.
var demo = springs.Spring{Rate: 1400, FreeLength: 0.0195, InitialTension: 1.3, Slack: 0.0008}

func TestTensionLaw(t *testing.T) {
	for _, test := range []struct {
		name   string
		length float64
		want   float64
	}{
		{"closed", 0.0195, 0},
		{"slack half taken up", 0.0199, 0},
		{"taken up", demo.TakeUp(), 0},
		{"2 mm beyond take-up", 0.0223, 1.3 + 1400*0.002},
		{"not a number", math.NaN(), 0},
		{"infinite", math.Inf(1), 0},
	} {
		if got := demo.Tension(test.length); !scalar.EqualWithinAbs(got, test.want, 1e-12) {
			t.Errorf("%s: tension %v N, want %v N", test.name, got, test.want)
		}
	}
}

// The energy is the integral of the tension (quadrature) and the tension its
// derivative (finite differences), away from nice points.
func TestEnergyIsIntegralOfTension(t *testing.T) {
	for _, length := range []float64{0.0201, 0.02071, 0.02316, 0.0317} {
		want := 0.0
		if length > demo.TakeUp() {
			want = quad.Fixed(demo.Tension, demo.TakeUp(), length, 8, nil, 0)
		}
		got := demo.Energy(length)
		if !scalar.EqualWithinAbsOrRel(got, want, 1e-15, 1e-12) {
			t.Errorf("energy at %v m: %v J, want %v J", length, got, want)
		}
		slope := fd.Derivative(demo.Energy, length, &fd.Settings{Formula: fd.Central, Step: 1e-6})
		// Central differences of a quadratic are exact up to rounding, 1e-16 J/1e-6 m.
		if !scalar.EqualWithinAbs(slope, demo.Tension(length), 1e-9) {
			t.Errorf("slope of energy at %v m: %v N, tension %v N", length, slope, demo.Tension(length))
		}
	}
}

func TestLengthInvertsLoad(t *testing.T) {
	for _, tension := range []float64{0, 0.7, 1.3, 1.31, 4.77, 12} {
		length, err := demo.Length(tension)
		if err != nil {
			t.Fatal(err)
		}
		got, err := demo.Load(length)
		if err != nil {
			t.Fatal(err)
		}
		if tension <= demo.InitialTension {
			if length != demo.TakeUp() {
				t.Errorf("%v N is held at %v m, want take-up %v m", tension, length, demo.TakeUp())
			}
			continue
		}
		if !scalar.EqualWithinRel(got, tension, 1e-12) {
			t.Errorf("length %v m pulls %v N, want %v N", length, got, tension)
		}
	}
}

func TestRefusedSprings(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, s := range map[string]springs.Spring{
		"zero value":               {},
		"negative rate":            {Rate: -1, FreeLength: 0.02},
		"rate not a number":        {Rate: nan, FreeLength: 0.02},
		"no free length":           {Rate: 1000},
		"infinite free length":     {Rate: 1000, FreeLength: inf},
		"negative initial tension": {Rate: 1000, FreeLength: 0.02, InitialTension: -0.1},
		"negative slack":           {Rate: 1000, FreeLength: 0.02, Slack: -1e-4},
		"slack not a number":       {Rate: 1000, FreeLength: 0.02, Slack: nan},
	} {
		if err := s.Check(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: Check gave %v", name, err)
		}
		if _, err := s.Load(0.03); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: Load gave %v", name, err)
		}
		if _, err := s.Length(1); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: Length gave %v", name, err)
		}
	}
	for _, bad := range []float64{-1, nan, inf, 2e9} {
		if _, err := demo.Load(bad); !errors.Is(err, valid.ErrRange) {
			t.Errorf("Load(%v) gave %v", bad, err)
		}
		if _, err := demo.Length(bad); !errors.Is(err, valid.ErrRange) {
			t.Errorf("Length(%v) gave %v", bad, err)
		}
	}
}
