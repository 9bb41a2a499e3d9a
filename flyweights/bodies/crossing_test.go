package bodies

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

func TestPlateFindsCrossings(t *testing.T) {
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x / 1000, Y: y / 1000} }
	square := Polygon(v(0, 0), v(20, 0), v(20, 20), v(0, 20))
	hole := func(x, y, r float64) Outline { return Circle(v(x, y), r/1000) }
	for _, test := range []struct {
		name    string
		outline Outline
		holes   []Outline
		words   string // of the refusal, none if the plate is good
	}{
		{"square", square, nil, ""},
		{"two holes", square, []Outline{hole(5, 5, 4), hole(14, 14, 5)}, ""},
		{"hole run the other way", square, []Outline{Polygon(v(5, 5), v(5, 9), v(9, 9))}, ""},
		{"arc bulging out", Outline{Line(v(0, 0)), {To: v(20, 0), Sweep: 4}}, nil, ""},
		{"two ears of unequal size", Polygon(v(0, 0), v(20, 20), v(20, 0), v(0, 12)), nil, "cross the outline itself"},
		{"arc through the far side", Outline{
			Line(v(0, 0)), {To: v(20, 0), Sweep: -math.Pi}, Line(v(20, 5)), Line(v(0, 5)),
		}, nil, "cross the outline itself"},
		{"hole over the edge", square, []Outline{hole(1, 10, 3)}, "hole 1: bodies: value out of range: edges cross the outline"},
		{"hole beside the plate", square, []Outline{hole(5, 5, 2), hole(40, 5, 2)}, "hole 2"},
		{"holes that meet", square, []Outline{hole(7, 7, 4), hole(10, 10, 4)}, "edges cross hole 1"},
		{"hole in a hole", square, []Outline{hole(9, 9, 5), hole(9, 9, 2)}, "in hole 1"},
		{"hole around a hole", square, []Outline{hole(9, 9, 2), hole(9, 9, 5)}, "around it"},
	} {
		_, err := Plate(test.outline, 0.005, steel, test.holes...)
		switch {
		case test.words == "" && err != nil:
			t.Errorf("%s: refused: %v", test.name, err)
		case test.words != "" && (!errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), test.words)):
			t.Errorf("%s: got %v, want words %q", test.name, err, test.words)
		}
	}
}

// A triangle with one bent side, anywhere and of any size: the plate is refused
// or is a body that passes its own check, and two of it are twice the one.
func FuzzPlate(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.0, 0.0, 0.02, 0.0, 0.01, 0.015, 1.2, 0.004, 0.7)
	f.Add(0.1, -0.2, 0.02, 0.0, 0.01, 0.015, -2.9, 0.0001, 6.0)
	f.Add(0.0, 0.0, 1e-200, 0.0, 0.0, 1e-200, 0.0, 1.0, 1.0)
	f.Add(math.NaN(), 0.0, 1e3, 0.0, 0.0, 1e3, 6.28, 1e3, 1e9)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, cx, cy, sweep, thickness, angle float64) {
		o := Outline{Line(r2.Vec{X: ax, Y: ay}), Line(r2.Vec{X: bx, Y: by}), {To: r2.Vec{X: cx, Y: cy}, Sweep: sweep}}
		b, err := Plate(o, thickness, steel)
		if err != nil {
			return
		}
		if err := b.check(); err != nil {
			t.Errorf("%v is accepted but its body %+v is not: %v", o, b, err)
		}
		// Twice the thickness is twice the body, there or taken together.
		twice, err := b.add(b)
		if err != nil || !(math.Abs(twice.Mass-2*b.Mass) <= 1e-12*b.Mass) || twice.Centre != b.Centre {
			t.Errorf("%+v and itself: %+v, %v", b, twice, err)
		}
		swing := Swing{Pivot: r2.Vec{X: 0.02, Y: -0.01}}
		if moment, err := swing.Moment(b, angle); err == nil && (math.IsNaN(moment) || math.IsInf(moment, 0)) {
			t.Errorf("moment %v of %+v at %v rad", moment, b, angle)
		}
	})
}
