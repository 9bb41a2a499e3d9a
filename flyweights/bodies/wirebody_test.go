package bodies

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/valid"
)

// A wire bent along arcs both ways is the limit of many straight pieces.
func TestWireBodyAgainstPieces(t *testing.T) {
	o := kidney()
	got, err := WireBody(o[3].To, o, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	points := sample(o, 20000)
	var pieces Body
	for i, p := range points {
		q := points[(i+1)%len(points)]
		l := r2.Norm(r2.Sub(q, p))
		pieces = sum(t, pieces, Body{Mass: 0.02 * l, Centre: r2.Scale(0.5, r2.Add(p, q)), Inertia: 0.02 * l * l * l / 12})
	}
	// A chord is shorter than its arc by sweep^2/24 = 1e-9 of it.
	if !close(got, pieces, 1e-8) {
		t.Errorf("wire body %+v, pieces %+v", got, pieces)
	}
}

// A full ring but for a gap goes to m R^2 about its centre, and a flat arc to a
// straight wire.
func TestWireBodyLimits(t *testing.T) {
	const r = 0.01
	ring, err := WireBody(r2.Vec{X: r}, []Edge{{To: r2.Vec{X: -r}, Sweep: math.Pi}, {To: r2.Vec{X: r}, Sweep: math.Pi}}, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	if want := 0.05 * 2 * math.Pi * r * r * r; !scalar.EqualWithinRel(ring.Inertia, want, 1e-13) {
		t.Errorf("ring: inertia %v kg m^2, want %v", ring.Inertia, want)
	}
	flat, err := WireBody(r2.Vec{}, []Edge{{To: r2.Vec{X: r}, Sweep: 1e-3}}, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	// The rise of the flat arc, r sweep/12 on average, is left out of the line.
	if want := 0.05 * r * r * r / 12; !scalar.EqualWithinRel(flat.Inertia, want, 1e-6) {
		t.Errorf("flat arc: inertia %v kg m^2, straight wire %v", flat.Inertia, want)
	}
	if want := -r * 1e-3 / 12; !scalar.EqualWithinRel(flat.Centre.Y, want, 1e-6) {
		t.Errorf("flat arc: centre %v m off the chord, want %v m", flat.Centre.Y, want)
	}
}

func TestRefusedWireBodies(t *testing.T) {
	for name, f := range map[string]func() error{
		"no edges":  func() error { _, err := WireBody(r2.Vec{}, nil, 1); return err },
		"no length": func() error { _, err := WireBody(r2.Vec{}, []Edge{Line(r2.Vec{})}, 1); return err },
		"no mass": func() error {
			_, err := WireBody(r2.Vec{}, []Edge{Line(r2.Vec{X: 1})}, 0)
			return err
		},
		"from nowhere": func() error {
			_, err := WireBody(r2.Vec{X: math.NaN()}, []Edge{Line(r2.Vec{X: 1})}, 1)
			return err
		},
		"not a number": func() error {
			_, err := WireBody(r2.Vec{}, []Edge{{To: r2.Vec{X: 1}, Sweep: math.NaN()}}, 1)
			return err
		},
		"arc to itself": func() error {
			_, err := WireBody(r2.Vec{}, []Edge{{Sweep: 1}, Line(r2.Vec{X: 1})}, 1)
			return err
		},
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
