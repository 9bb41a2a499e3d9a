package springs_test

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs"
)

// Sadhu Singh, Machine Design-I, ch. 8, Example 8.3, p. 229: wire 3 mm, C = 6,
// 15 coils, G = 84 GPa give 9.72 N/mm.
func TestRatePublished(t *testing.T) {
	w := springs.Wire{Diameter: 3e-3, MeanDiameter: 18e-3, ActiveCoils: 15, ShearModulus: 84e9}
	got, err := w.Rate()
	if err != nil {
		t.Fatal(err)
	}
	if !scalar.EqualWithinAbs(got, 9720, 5) { // rounding of the printed value
		t.Errorf("rate %v N/m, published 9720 N/m", got)
	}
}

// Springs in a row add their compliances: half the coils, twice the rate.
func TestRateOfCoilsInSeries(t *testing.T) {
	w := springs.Wire{Diameter: 0.91e-3, MeanDiameter: 6.37e-3, ActiveCoils: 11.3, ShearModulus: 80.7e9}
	whole, err := w.Rate()
	if err != nil {
		t.Fatal(err)
	}
	a, b := w, w
	a.ActiveCoils, b.ActiveCoils = 3.9, 7.4
	ka, errA := a.Rate()
	kb, errB := b.Rate()
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if got := ka * kb / (ka + kb); !scalar.EqualWithinRel(got, whole, 1e-14) {
		t.Errorf("two parts in series: %v N/m, whole %v N/m", got, whole)
	}
}

func TestRefusedWires(t *testing.T) {
	good := springs.Wire{Diameter: 1e-3, MeanDiameter: 8e-3, ActiveCoils: 9, ShearModulus: 80e9}
	for name, change := range map[string]func(*springs.Wire){
		"zero value":                 func(w *springs.Wire) { *w = springs.Wire{} },
		"wire not a number":          func(w *springs.Wire) { w.Diameter = math.NaN() },
		"coil thinner than its wire": func(w *springs.Wire) { w.MeanDiameter = 0.9e-3 },
		"infinite coil":              func(w *springs.Wire) { w.MeanDiameter = math.Inf(1) },
		"no coils":                   func(w *springs.Wire) { w.ActiveCoils = 0 },
		"modulus in GPa":             func(w *springs.Wire) { w.ShearModulus = 80 },
	} {
		w := good
		change(&w)
		if _, err := w.Rate(); !errors.Is(err, springs.ErrRange) {
			t.Errorf("%s: Rate gave %v", name, err)
		}
	}
}
