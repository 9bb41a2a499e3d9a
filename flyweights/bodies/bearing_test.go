package bodies

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"

	"example.org/bobweight/springs/valid"
)

// Both formulas against the integral of mu p r over the face, with the pressure
// that carries the load.
func TestBearingAgainstIntegral(t *testing.T) {
	const mu, load = 0.13, 4.7
	for _, b := range []Bearing{{Outer: 0.006}, {Inner: 0.0025, Outer: 0.0061}, {Inner: 0.0059, Outer: 0.006, HalfAngle: 0.8}} {
		sin := 1.0
		if b.HalfAngle > 0 {
			sin = math.Sin(b.HalfAngle)
		}
		for worn, pressure := range map[bool]func(r float64) float64{
			false: func(float64) float64 { return 1 },
			true:  func(r float64) float64 { return 1 / r },
		} {
			carried := quad.Fixed(func(r float64) float64 { return pressure(r) * r }, b.Inner, b.Outer, 20, nil, 0)
			held := quad.Fixed(func(r float64) float64 { return pressure(r) * r * r }, b.Inner, b.Outer, 20, nil, 0)
			b.Worn = worn
			got, err := b.Moment(mu, load)
			if err != nil {
				t.Fatal(err)
			}
			if want := mu * load * held / carried / sin; !scalar.EqualWithinRel(got, want, 1e-12) {
				t.Errorf("%+v: %v N m, integral %v N m", b, got, want)
			}
		}
		b.Worn = false
		fresh, errNew := b.Moment(mu, load)
		b.Worn = true
		worn, errWorn := b.Moment(mu, load)
		if errNew != nil || errWorn != nil || !(worn < fresh) {
			t.Errorf("%+v: worn %v, new %v N m", b, worn, fresh)
		}
	}
}

func TestRefusedBearings(t *testing.T) {
	nan := math.NaN()
	good := Bearing{Inner: 0.002, Outer: 0.006}
	for name, f := range map[string]func() error{
		"zero value":           func() error { _, err := Bearing{}.Moment(0.1, 1); return err },
		"inner negative":       func() error { _, err := Bearing{Inner: -1, Outer: 1}.Moment(0.1, 1); return err },
		"outer below inner":    func() error { _, err := Bearing{Inner: 2, Outer: 1}.Moment(0.1, 1); return err },
		"outer not a number":   func() error { _, err := Bearing{Outer: nan}.Moment(0.1, 1); return err },
		"cone wider than flat": func() error { _, err := Bearing{Outer: 1, HalfAngle: 2}.Moment(0.1, 1); return err },
		"needle": func() error {
			_, err := Bearing{Outer: 1, HalfAngle: 5e-324}.Moment(1, 1)
			return err
		},
		"friction nan":  func() error { _, err := good.Moment(nan, 1); return err },
		"load negative": func() error { _, err := good.Moment(0.1, -1); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
