package bodies

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/valid"
)

const steel = 7850.0 // kg/m^3, common practice, no source

// Hibbeler and Gupta, Engineering Mechanics, Example 10.11, p. 403: a disc of
// radius 0.25 m with a centred hole of 0.125 m, 10 mm thick, 8000 kg/m^3, has
// 1.20 kg m^2 about a point of its rim.
func TestDiscPublished(t *testing.T) {
	b, err := Plate(Circle(r2.Vec{}, 0.25), 0.01, 8000, Circle(r2.Vec{}, 0.125))
	if err != nil {
		t.Fatal(err)
	}
	if got := good(t)(b.About(r2.Vec{X: 0.25})); !scalar.EqualWithinAbs(got, 1.20, 0.005) {
		t.Errorf("inertia about the rim %v kg m^2, published 1.20", got)
	}
}

// good returns the value of a call that must not fail.
func good(t *testing.T) func(float64, error) float64 {
	return func(x float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// sum returns two bodies held together.
func sum(t *testing.T, a, b Body) Body {
	t.Helper()
	s, err := a.add(b)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func weight(t *testing.T) Body {
	t.Helper()
	b, err := Plate(kidney(), 0.006, steel, Circle(r2.Vec{X: 0.018, Y: 0.003}, 0.002))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Taking out what was put in gives back the body; order does not matter.
func TestAddAndSub(t *testing.T) {
	a := weight(t)
	c := Body{Mass: 0.003, Centre: r2.Vec{X: 0.021, Y: 0.009}, Inertia: 4e-9}
	both := sum(t, a, c)
	if other := sum(t, c, a); !close(both, other, 1e-13) {
		t.Errorf("a+c %+v, c+a %+v", both, other)
	}
	back, err := both.sub(c)
	if err != nil {
		t.Fatal(err)
	}
	if !close(back, a, 1e-12) {
		t.Errorf("there and back %+v, want %+v", back, a)
	}
	if got := sum(t, a, Body{}); got != a {
		t.Errorf("nothing added changes %+v to %+v", a, got)
	}
	if got := sum(t, Body{}, Body{}); got != (Body{}) {
		t.Errorf("nothing and nothing is %+v", got)
	}
	if _, err := a.sub(sum(t, a, c)); !errors.Is(err, valid.ErrRange) {
		t.Errorf("more than there is taken away gave %v", err)
	}
	far := Body{Mass: a.Mass / 2, Centre: r2.Vec{X: 1}}
	if _, err := a.sub(far); !errors.Is(err, valid.ErrRange) {
		t.Errorf("a part from outside taken away gave %v", err)
	}
}

func close(a, b Body, rel float64) bool {
	return scalar.EqualWithinRel(a.Mass, b.Mass, rel) &&
		scalar.EqualWithinRel(a.Inertia, b.Inertia, 100*rel) && // a difference of larger numbers
		r2.Norm(r2.Sub(a.Centre, b.Centre)) <= 10*rel*r2.Norm(a.Centre)
}

// The moment by cross product is half the slope of m R^2, both ways round.
func TestMomentIsSlopeOfR2(t *testing.T) {
	b := weight(t)
	for _, s := range []Swing{
		{Pivot: r2.Vec{X: 0.024, Y: -0.003}},
		{Pivot: r2.Vec{X: -0.007, Y: 0.021}, Clockwise: true},
	} {
		sense := 1.0
		if s.Clockwise {
			sense = -1
		}
		half := func(phi float64) float64 {
			return b.Mass * r2.Norm2(r2.Rotate(b.Centre, sense*phi, s.Pivot)) / 2
		}
		for _, phi := range []float64{0, 0.11, 0.43} {
			want := fd.Derivative(half, phi, &fd.Settings{Formula: fd.Central, Step: 1e-4})
			// Central difference: error step^2/6 of the third derivative.
			if got := good(t)(s.Moment(b, phi)); !scalar.EqualWithinRel(got, want, 1e-7) {
				t.Errorf("%+v at %v rad: %v kg m^2, slope %v", s, phi, got, want)
			}
		}
	}
}

// A hole drilled as told gives the wanted moment, and so does a plug of the mass
// told where metal must be added.
func TestDrillingGivesWantedMoment(t *testing.T) {
	b := weight(t)
	s := Swing{Pivot: r2.Vec{X: 0.024, Y: -0.003}}
	rng := rand.New(rand.NewPCG(3, 4))
	drilled, plugged := 0, 0
	for range 200 {
		phi := 0.4 * rng.Float64()
		c := Change{
			Body:   b,
			Phi:    phi,
			Moment: good(t)(s.Moment(b, phi)) * (0.9 + 0.2*rng.Float64()),
			At:     r2.Vec{X: 0.012 + 0.012*rng.Float64(), Y: 0.004 + 0.008*rng.Float64()},
		}
		mass, err := s.Mass(c)
		if err != nil {
			t.Fatal(err)
		}
		var after Body
		if mass > 0 {
			plugged++
			after = sum(t, b, Body{Mass: mass, Centre: c.At})
		} else {
			drilled++
			dia, err := s.DrillDiameter(c, 0.006, steel)
			if err != nil {
				t.Fatal(err)
			}
			// The place may lie half outside; only mass and centre act.
			after = sum(t, b, Body{Mass: -steel * 0.006 * math.Pi / 4 * dia * dia, Centre: c.At})
		}
		after.Inertia = math.Max(after.Inertia, 0) // the place may lie outside
		if got := good(t)(s.Moment(after, c.Phi)); !scalar.EqualWithinRel(got, c.Moment, 1e-11) {
			t.Errorf("moment after %v kg m^2, wanted %v", got, c.Moment)
		}
	}
	if drilled < 20 || plugged < 20 {
		t.Errorf("%d holes and %d plugs: both ways want trying", drilled, plugged)
	}
}

func TestRefusedBodies(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	circle := Circle(r2.Vec{}, 0.01)
	for name, f := range map[string]func() error{
		"no thickness":           func() error { _, err := Plate(circle, 0, steel); return err },
		"density not a number":   func() error { _, err := Plate(circle, 0.01, nan); return err },
		"density of a dead star": func() error { _, err := Plate(circle, 0.01, 1e15); return err },
		"no outline":             func() error { _, err := Plate(nil, 0.01, steel); return err },
		"hole without area":      func() error { _, err := Plate(circle, 0.01, steel, nil); return err },
		"hole as large":          func() error { _, err := Plate(circle, 0.01, steel, circle); return err },
		"hole outside": func() error {
			_, err := Plate(circle, 0.01, steel, Circle(r2.Vec{X: 1}, 0.009))
			return err
		},
		"zero body":         func() error { return Body{}.check() },
		"infinite centre":   func() error { return Body{Mass: 1, Centre: r2.Vec{Y: inf}}.check() },
		"negative inertia":  func() error { return Body{Mass: 1, Inertia: -1}.check() },
		"pivot on the axis": func() error { _, err := Swing{}.Moment(Body{Mass: 1}, 0); return err },
		"pivot not a number": func() error {
			_, err := Swing{Pivot: r2.Vec{X: nan}}.Moment(Body{Mass: 1}, 0)
			return err
		},
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}

	s := Swing{Pivot: r2.Vec{X: 0.02}}
	fair := Change{Body: Body{Mass: 0.02, Centre: r2.Vec{X: 0.01, Y: 0.01}}, Moment: -3e-6, At: r2.Vec{X: 0.01, Y: 0.012}}
	if _, err := s.DrillDiameter(fair, 0.005, steel); err != nil {
		t.Fatal(err)
	}
	for name, change := range map[string]func(*Change){
		"no body":             func(c *Change) { c.Body = Body{} },
		"swing not a number":  func(c *Change) { c.Phi = nan },
		"place not a number":  func(c *Change) { c.At.X = nan },
		"place on the line":   func(c *Change) { c.At = r2.Vec{X: 0.01} },
		"moment not a number": func(c *Change) { c.Moment = nan },
		"more than there is":  func(c *Change) { c.Moment = 1 },
		"metal must be added": func(c *Change) { c.Moment = -5e-6 },
	} {
		c := fair
		change(&c)
		if _, err := s.DrillDiameter(c, 0.005, steel); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: DrillDiameter gave %v", name, err)
		}
	}
	if _, err := s.DrillDiameter(fair, 0, steel); !errors.Is(err, valid.ErrRange) {
		t.Errorf("hole without depth gave %v", err)
	}
	if _, err := s.DrillDiameter(fair, 0.005, 0); !errors.Is(err, valid.ErrRange) {
		t.Errorf("hole in nothing gave %v", err)
	}
	if _, err := (Swing{}).Mass(fair); !errors.Is(err, valid.ErrRange) {
		t.Errorf("pivot on the axis gave %v", err)
	}
}
