package design

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/spatial/r3"

	"example.org/bobweight/springs/valid"
)

// Sadhu Singh, Machine Design-I, ch. 8, Example 8.3, p. 229: wire 3 mm, C = 6,
// 15 coils, G = 84 GPa give 9.72 N/mm.
func TestRatePublished(t *testing.T) {
	w := Wire{Diameter: 3e-3, MeanDiameter: 18e-3, ActiveCoils: 15, ShearModulus: 84e9}
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
	w := Wire{Diameter: 0.91e-3, MeanDiameter: 6.37e-3, ActiveCoils: 11.3, ShearModulus: 80.7e9}
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
	good := Wire{Diameter: 1e-3, MeanDiameter: 8e-3, ActiveCoils: 9, ShearModulus: 80e9}
	for name, change := range map[string]func(*Wire){
		"zero value":                 func(w *Wire) { *w = Wire{} },
		"wire not a number":          func(w *Wire) { w.Diameter = math.NaN() },
		"coil thinner than its wire": func(w *Wire) { w.MeanDiameter = 0.9e-3 },
		"infinite coil":              func(w *Wire) { w.MeanDiameter = math.Inf(1) },
		"no coils":                   func(w *Wire) { w.ActiveCoils = 0 },
		"modulus in GPa":             func(w *Wire) { w.ShearModulus = 80 },
	} {
		w := good
		change(&w)
		if _, err := w.Rate(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: Rate gave %v", name, err)
		}
	}
}

// The rate by another road: a force along the axis of a real helix of pitch d,
// its moment about every point of the wire taken as a vector, parted along the
// wire (torsion) and across it (bending), and the energy summed (Castigliano).
// The library's formula leaves out direct shear, 1/(2 C^2) of the stretch
// (Shigley, Eq. 10-8), and the climb of the coil, of the order of its square.
func TestRateAgainstHelix(t *testing.T) {
	for _, index := range []float64{4, 6, 9, 14} {
		const d, turns, shear, young = 0.8e-3, 7.0, 80e9, 200e9
		r := index * d / 2
		climb := d / (2 * math.Pi) // of a close-wound coil, per radian
		second := math.Pi * math.Pow(d, 4) / 64
		area := math.Pi * d * d / 4
		speed := math.Hypot(r, climb) // wire per radian
		perForce := quad.Fixed(func(a float64) float64 {
			sin, cos := math.Sincos(a)
			at := r3.Vec{X: r * cos, Y: r * sin, Z: climb * a}
			along := r3.Vec{X: -r * sin / speed, Y: r * cos / speed, Z: climb / speed}
			force := r3.Vec{Z: 1}
			moment := r3.Cross(at, force)
			twist := r3.Dot(moment, along)
			bend := r3.Norm(r3.Sub(moment, r3.Scale(twist, along)))
			pull := r3.Dot(force, along)
			across := r3.Norm(r3.Sub(force, r3.Scale(pull, along)))
			return speed * (twist*twist/(2*shear*second) + bend*bend/(young*second) + across*across/(shear*area) + pull*pull/(young*area))
		}, 0, 2*math.Pi*turns, 400, nil, 0)
		got, err := Wire{Diameter: d, MeanDiameter: 2 * r, ActiveCoils: turns, ShearModulus: shear}.Rate()
		if err != nil {
			t.Fatal(err)
		}
		shearPart := 1 / (2 * index * index)
		slope := climb / r
		if want := 1 / perForce * (1 + shearPart); !scalar.EqualWithinRel(got, want, slope*slope) {
			t.Errorf("C = %v: %v N/m, helix with direct shear put back %v N/m", index, got, want)
		}
	}
}
