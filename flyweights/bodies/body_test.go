package bodies_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/bodies"
)

const steel = 7850.0 // kg/m^3, common practice, no source

// Hibbeler and Gupta, Engineering Mechanics, Example 10.11, p. 403: a disc of
// radius 0.25 m with a centred hole of 0.125 m, 10 mm thick, 8000 kg/m^3, has
// 1.20 kg m^2 about a point of its rim.
func TestDiscPublished(t *testing.T) {
	b, err := bodies.Plate(bodies.Circle(r2.Vec{}, 0.25), 0.01, 8000, bodies.Circle(r2.Vec{}, 0.125))
	if err != nil {
		t.Fatal(err)
	}
	if got := b.About(r2.Vec{X: 0.25}); !scalar.EqualWithinAbs(got, 1.20, 0.005) {
		t.Errorf("inertia about the rim %v kg m^2, published 1.20", got)
	}
}

func weight(t *testing.T) bodies.Body {
	t.Helper()
	b, err := bodies.Plate(kidney(), 0.006, steel, bodies.Circle(r2.Vec{X: 0.018, Y: 0.003}, 0.002))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Taking out what was put in gives back the body; order does not matter.
func TestAddAndSub(t *testing.T) {
	a := weight(t)
	c := bodies.Body{Mass: 0.003, Centre: r2.Vec{X: 0.021, Y: 0.009}, Inertia: 4e-9}
	sum := a.Add(c)
	if other := c.Add(a); !close(sum, other, 1e-13) {
		t.Errorf("a+c %+v, c+a %+v", sum, other)
	}
	back, err := sum.Sub(c)
	if err != nil {
		t.Fatal(err)
	}
	if !close(back, a, 1e-12) {
		t.Errorf("there and back %+v, want %+v", back, a)
	}
	if got := a.Add(bodies.Body{}); got != a {
		t.Errorf("nothing added changes %+v to %+v", a, got)
	}
	if got := (bodies.Body{}).Add(bodies.Body{}); got != (bodies.Body{}) {
		t.Errorf("nothing and nothing is %+v", got)
	}
	if _, err := a.Sub(a.Add(c)); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("more than there is taken away gave %v", err)
	}
	far := bodies.Body{Mass: a.Mass / 2, Centre: r2.Vec{X: 1}}
	if _, err := a.Sub(far); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("a part from outside taken away gave %v", err)
	}
}

func close(a, b bodies.Body, rel float64) bool {
	return scalar.EqualWithinRel(a.Mass, b.Mass, rel) &&
		scalar.EqualWithinRel(a.Inertia, b.Inertia, 100*rel) && // a difference of larger numbers
		r2.Norm(r2.Sub(a.Centre, b.Centre)) <= 10*rel*r2.Norm(a.Centre)
}

func TestMovedTurnedMirrored(t *testing.T) {
	o := kidney()
	b := weight(t)
	moved := b.Turned(0.7, r2.Vec{X: 0.01}).Moved(r2.Vec{X: 0.002, Y: -0.005})
	hole := bodies.Circle(r2.Vec{X: 0.018, Y: 0.003}, 0.002)
	place := func(o bodies.Outline) bodies.Outline {
		return o.Turned(0.7, r2.Vec{X: 0.01}).Moved(r2.Vec{X: 0.002, Y: -0.005})
	}
	redrawn, err := bodies.Plate(place(o), 0.006, steel, place(hole))
	if err != nil {
		t.Fatal(err)
	}
	if !close(moved, redrawn, 1e-12) {
		t.Errorf("moved %+v, redrawn %+v", moved, redrawn)
	}
	if twice := b.Mirrored(0.4).Mirrored(0.4); !close(twice, b, 1e-14) {
		t.Errorf("mirrored twice %+v, want %+v", twice, b)
	}
	if got := b.Mirrored(0).Centre; got.X != b.Centre.X || got.Y != -b.Centre.Y {
		t.Errorf("mirrored in the x axis to %v from %v", got, b.Centre)
	}
}

// The moment by cross product is half the slope of m R^2, both ways round.
func TestMomentIsSlopeOfR2(t *testing.T) {
	b := weight(t)
	for _, s := range []bodies.Swing{
		{Pivot: r2.Vec{X: 0.024, Y: -0.003}},
		{Pivot: r2.Vec{X: -0.007, Y: 0.021}, Clockwise: true},
	} {
		sense := 1.0
		if s.Clockwise {
			sense = -1
		}
		half := func(phi float64) float64 {
			return b.Mass * r2.Norm2(b.Turned(sense*phi, s.Pivot).Centre) / 2
		}
		for _, phi := range []float64{0, 0.11, 0.43} {
			want := fd.Derivative(half, phi, &fd.Settings{Formula: fd.Central, Step: 1e-4})
			// Central difference: error step^2/6 of the third derivative.
			if got := s.Moment(b, phi); !scalar.EqualWithinRel(got, want, 1e-7) {
				t.Errorf("%+v at %v rad: %v kg m^2, slope %v", s, phi, got, want)
			}
		}
	}
}

// A hole drilled as told gives the wanted moment, and so does a plug of the mass
// told where metal must be added.
func TestDrillingGivesWantedMoment(t *testing.T) {
	b := weight(t)
	s := bodies.Swing{Pivot: r2.Vec{X: 0.024, Y: -0.003}}
	rng := rand.New(rand.NewPCG(3, 4))
	drilled, plugged := 0, 0
	for range 200 {
		phi := 0.4 * rng.Float64()
		c := bodies.Change{
			Body:   b,
			Phi:    phi,
			Moment: s.Moment(b, phi) * (0.9 + 0.2*rng.Float64()),
			At:     r2.Vec{X: 0.012 + 0.012*rng.Float64(), Y: 0.004 + 0.008*rng.Float64()},
		}
		mass, err := s.Mass(c)
		if err != nil {
			t.Fatal(err)
		}
		var after bodies.Body
		if mass > 0 {
			plugged++
			after = b.Add(bodies.Body{Mass: mass, Centre: c.At})
		} else {
			drilled++
			dia, err := s.DrillDiameter(c, 0.006, steel)
			if err != nil {
				t.Fatal(err)
			}
			depth, err := s.DrillDepth(c, dia, steel)
			if err != nil {
				t.Fatal(err)
			}
			if !scalar.EqualWithinRel(depth, 0.006, 1e-12) {
				t.Errorf("depth %v m for the diameter of 6 mm depth", depth)
			}
			slug, err := bodies.Slug(c.At, dia, 0.006, steel)
			if err != nil {
				t.Fatal(err)
			}
			// The place may lie half outside; only mass and centre act.
			after = b.Add(bodies.Body{Mass: -slug.Mass, Centre: slug.Centre})
		}
		if got := s.Moment(after, c.Phi); !scalar.EqualWithinRel(got, c.Moment, 1e-11) {
			t.Errorf("moment after %v kg m^2, wanted %v", got, c.Moment)
		}
	}
	if drilled < 20 || plugged < 20 {
		t.Errorf("%d holes and %d plugs: both ways want trying", drilled, plugged)
	}
}

// A slug is a circle of sheet: two ways to the same body.
func TestSlugIsRoundPlate(t *testing.T) {
	at := r2.Vec{X: 0.01, Y: 0.02}
	a, err := bodies.Slug(at, 0.005, 0.006, steel)
	if err != nil {
		t.Fatal(err)
	}
	b, err := bodies.Plate(bodies.Circle(at, 0.0025), 0.006, steel)
	if err != nil {
		t.Fatal(err)
	}
	if !close(a, b, 1e-13) {
		t.Errorf("slug %+v, plate %+v", a, b)
	}
}

// A thin uniform rod of length L hung by its end swings like a simple pendulum
// of length 2L/3 (C. Huygens, Horologium Oscillatorium, 1673, part 4).
func TestSwungRod(t *testing.T) {
	const mass, length, g = 0.02, 0.05, 9.80665
	period := 2 * math.Pi * math.Sqrt(2*length/3/g)
	b, err := bodies.Swung(mass, r2.Vec{X: length / 2}, r2.Vec{}, period, g)
	if err != nil {
		t.Fatal(err)
	}
	if want := mass * length * length / 12; !scalar.EqualWithinRel(b.Inertia, want, 1e-12) {
		t.Errorf("inertia %v kg m^2, want %v", b.Inertia, want)
	}
	if _, err := bodies.Swung(mass, r2.Vec{X: length / 2}, r2.Vec{}, period/2, g); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("too short a period gave %v", err)
	}
}

func TestRefusedBodies(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	circle := bodies.Circle(r2.Vec{}, 0.01)
	for name, f := range map[string]func() error{
		"no thickness":           func() error { _, err := bodies.Plate(circle, 0, steel); return err },
		"density not a number":   func() error { _, err := bodies.Plate(circle, 0.01, nan); return err },
		"density of a dead star": func() error { _, err := bodies.Plate(circle, 0.01, 1e15); return err },
		"no outline":             func() error { _, err := bodies.Plate(nil, 0.01, steel); return err },
		"hole without area":      func() error { _, err := bodies.Plate(circle, 0.01, steel, nil); return err },
		"hole as large":          func() error { _, err := bodies.Plate(circle, 0.01, steel, circle); return err },
		"hole outside": func() error {
			_, err := bodies.Plate(circle, 0.01, steel, bodies.Circle(r2.Vec{X: 1}, 0.009))
			return err
		},
		"zero body":               func() error { return bodies.Body{}.Check() },
		"infinite centre":         func() error { return bodies.Body{Mass: 1, Centre: r2.Vec{Y: inf}}.Check() },
		"negative inertia":        func() error { return bodies.Body{Mass: 1, Inertia: -1}.Check() },
		"pivot on the axis":       func() error { return bodies.Swing{}.Check() },
		"pivot not a number":      func() error { return bodies.Swing{Pivot: r2.Vec{X: nan}}.Check() },
		"slug without length":     func() error { _, err := bodies.Slug(r2.Vec{}, 0.01, 0, steel); return err },
		"slug of infinite length": func() error { _, err := bodies.Slug(r2.Vec{}, 0.01, inf, steel); return err },
		"slug nowhere":            func() error { _, err := bodies.Slug(r2.Vec{X: nan}, 0.01, 1, steel); return err },
		"slug of no diameter":     func() error { _, err := bodies.Slug(r2.Vec{}, 0, 1, steel); return err },
		"slug of no density":      func() error { _, err := bodies.Slug(r2.Vec{}, 0.01, 1, 0); return err },
		"pendulum without arm":    func() error { _, err := bodies.Swung(1, r2.Vec{}, r2.Vec{}, 1, 9.8); return err },
		"pendulum without mass":   func() error { _, err := bodies.Swung(0, r2.Vec{X: 1}, r2.Vec{}, 1, 9.8); return err },
		"pendulum nowhere":        func() error { _, err := bodies.Swung(1, r2.Vec{X: nan}, r2.Vec{}, 1, 9.8); return err },
		"pendulum hung nowhere":   func() error { _, err := bodies.Swung(1, r2.Vec{X: 1}, r2.Vec{X: inf}, 1, 9.8); return err },
		"pendulum that stands":    func() error { _, err := bodies.Swung(1, r2.Vec{X: 1}, r2.Vec{}, inf, 9.8); return err },
		"pendulum in free fall":   func() error { _, err := bodies.Swung(1, r2.Vec{X: 1}, r2.Vec{}, 1, 0); return err },
	} {
		if err := f(); !errors.Is(err, bodies.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}

	s := bodies.Swing{Pivot: r2.Vec{X: 0.02}}
	good := bodies.Change{Body: bodies.Body{Mass: 0.02, Centre: r2.Vec{X: 0.01, Y: 0.01}}, Moment: -3e-6, At: r2.Vec{X: 0.01, Y: 0.012}}
	if _, err := s.DrillDiameter(good, 0.005, steel); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*bodies.Change){
		"no body":             func(c *bodies.Change) { c.Body = bodies.Body{} },
		"swing not a number":  func(c *bodies.Change) { c.Phi = nan },
		"place not a number":  func(c *bodies.Change) { c.At.X = nan },
		"place on the line":   func(c *bodies.Change) { c.At = r2.Vec{X: 0.01} },
		"moment not a number": func(c *bodies.Change) { c.Moment = nan },
		"more than there is":  func(c *bodies.Change) { c.Moment = 1 },
		"metal must be added": func(c *bodies.Change) { c.Moment = -5e-6 },
	} {
		c := good
		change(&c)
		if _, err := s.DrillDiameter(c, 0.005, steel); !errors.Is(err, bodies.ErrRange) {
			t.Errorf("%s: DrillDiameter gave %v", name, err)
		}
		if _, err := s.DrillDepth(c, 0.005, steel); !errors.Is(err, bodies.ErrRange) {
			t.Errorf("%s: DrillDepth gave %v", name, err)
		}
	}
	if _, err := s.DrillDiameter(good, 0, steel); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("hole without depth gave %v", err)
	}
	if _, err := s.DrillDepth(good, nan, steel); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("hole of no diameter gave %v", err)
	}
	if _, err := s.DrillDepth(good, 0.005, 0); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("hole in nothing gave %v", err)
	}
	if _, err := (bodies.Swing{}).Mass(good); !errors.Is(err, bodies.ErrRange) {
		t.Errorf("pivot on the axis gave %v", err)
	}
}
