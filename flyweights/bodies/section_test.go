package bodies

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/valid"
)

func section(t *testing.T, o Outline) Section {
	t.Helper()
	s, err := o.Section()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Machinery's Handbook, Center of Gravity, p. 230: distance of the centre of
// gravity of a circle sector from the centre, half, quarter and sixth of a
// circle of radius 1, and of a ring part R = 50, r = 30, half angle 30 deg
// (formula b = 38.197 (R^3-r^3) sin a / ((R^2-r^2) a), a in degrees).
func TestSectorsPublished(t *testing.T) {
	for _, test := range []struct {
		name string
		half float64
		want float64
	}{
		{"half", math.Pi / 2, 0.4244},
		{"quarter", math.Pi / 4, 0.6002},
		{"sixth", math.Pi / 6, 0.6366},
	} {
		s := section(t, RingPart(r2.Vec{}, 0, 1, -test.half, test.half))
		if !scalar.EqualWithinAbs(s.Centroid.X, test.want, 5e-5) {
			t.Errorf("%s circle: centroid at %v, published %v", test.name, s.Centroid.X, test.want)
		}
	}
	ring := section(t, RingPart(r2.Vec{}, 0.030, 0.050, -math.Pi/6, math.Pi/6))
	want := 38.197 * (0.05*0.05*0.05 - 0.03*0.03*0.03) * 0.5 / ((0.05*0.05 - 0.03*0.03) * 30)
	if !scalar.EqualWithinRel(ring.Centroid.X, want, 0.0005/38.197) {
		t.Errorf("ring part: centroid at %v m, handbook formula %v m", ring.Centroid.X, want)
	}
}

// Closed forms for the circular segment (W. C. Young and R. G. Budynas, Roark's
// Formulas for Stress and Strain, Table A.1, from memory): area
// r^2 (a - sin a cos a), centroid 2 r sin^3 a / (3 (a - sin a cos a)) and second
// moments r^4/4 (a - sin a cos a + 2 sin^3 a cos a) along the axis of symmetry,
// r^4/12 (3a - 3 sin a cos a - 2 sin^3 a cos a) across it, about the centre.
func TestSegmentClosedForms(t *testing.T) {
	const r = 0.037
	for _, a := range []float64{0.4, 1, math.Pi / 2, 2, 2.9} {
		s := section(t, Outline{Line(polar(r2.Vec{}, r, -a)), {To: polar(r2.Vec{}, r, a), Sweep: 2 * a}})
		sin, cos := math.Sincos(a)
		xx, yy, xy, err := s.About(r2.Vec{})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []struct {
			name      string
			got, want float64
		}{
			{"area", s.Area, r * r * (a - sin*cos)},
			{"centroid", s.Centroid.X, 2 * r * sin * sin * sin / (3 * (a - sin*cos))},
			{"second moment along", yy, math.Pow(r, 4) / 4 * (a - sin*cos + 2*sin*sin*sin*cos)},
			{"second moment across", xx, math.Pow(r, 4) / 12 * (3*a - 3*sin*cos - 2*sin*sin*sin*cos)},
		} {
			// The closed forms themselves cancel like 1e-16/a^5.
			if !scalar.EqualWithinRel(v.got, v.want, 1e-11) {
				t.Errorf("half angle %v, %s: %v, want %v", a, v.name, v.got, v.want)
			}
		}
		if !scalar.EqualWithinAbs(xy, 0, 1e-20) {
			t.Errorf("half angle %v: product of inertia %v m^4, want 0 by symmetry", a, xy)
		}
	}
}

// A very flat arc: area 2/3 c h, centroid 2/5 h off the chord (parabola, the
// limit of a flat arc). The usual closed form has lost every digit here.
func TestFlatArcKeepsItsDigits(t *testing.T) {
	const sweep, chord = 1e-6, 1.0
	height := chord * sweep / 8
	// The straight polygon is taken away by running back along the chord.
	s := section(t, Outline{Line(r2.Vec{Y: -chord / 2}), {To: r2.Vec{Y: chord / 2}, Sweep: sweep}})
	if want := 2.0 / 3 * chord * height; !scalar.EqualWithinRel(s.Area, want, 1e-9) {
		t.Errorf("area %v, want %v", s.Area, want)
	}
	if want := 2.0 / 5 * height; !scalar.EqualWithinRel(s.Centroid.X, want, 1e-9) {
		t.Errorf("centroid %v off the chord, want %v", s.Centroid.X, want)
	}
}

// Beer and Johnston et al., Vector Mechanics for Engineers, Sample Problem 5.1,
// p. 228: rectangle, triangle and semicircle less a hole. Centroid 54.8, 36.6 mm.
func TestCompositePublished(t *testing.T) {
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	parts := section(t, Polygon(v(0, 0), v(120, 0), v(120, 80), v(0, 80)))
	for _, o := range []Outline{Polygon(v(0, 0), v(120, 0), v(0, -60)), RingPart(v(60, 80), 0, 60, 0, math.Pi)} {
		var err error
		if parts, err = parts.Add(section(t, o)); err != nil {
			t.Fatal(err)
		}
	}
	cut, err := parts.Sub(section(t, Circle(v(60, 80), 40)))
	if err != nil {
		t.Fatal(err)
	}
	// The same figure as one outline.
	whole, err := section(t, Outline{
		Line(v(0, -60)), Line(v(120, 0)), Line(v(120, 80)), {To: v(0, 80), Sweep: math.Pi},
	}).Sub(section(t, Circle(v(60, 80), 40)))
	if err != nil {
		t.Fatal(err)
	}
	for name, s := range map[string]Section{"sum of parts": cut, "one outline": whole} {
		if !scalar.EqualWithinAbs(s.Centroid.X, 54.8, 0.05) || !scalar.EqualWithinAbs(s.Centroid.Y, 36.6, 0.05) {
			t.Errorf("%s: centroid %v, published 54.8, 36.6", name, s.Centroid)
		}
	}
	if !scalar.EqualWithinRel(whole.XX, cut.XX, 1e-12) || !scalar.EqualWithinRel(whole.XY, cut.XY, 1e-12) {
		t.Errorf("one outline %+v, sum of parts %+v", whole, cut)
	}
}

// Tayal, Engineering Mechanics, Example 12.15, p. 300: Z-section, I_x 1548,
// I_y 2668, principal 3822 and 394 cm^4, axis at -35.47 deg.
func TestPrincipalPublished(t *testing.T) {
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	s := section(t, Polygon(v(-11, 3), v(-1, 3), v(-1, -6), v(11, -6), v(11, -3), v(1, -3), v(1, 6), v(-11, 6)))
	most, least, angle := principal(t, s)
	for _, c := range []struct {
		name           string
		got, want, tol float64
	}{
		{"I_x", s.XX, 1548, 0.5},
		{"I_y", s.YY, 2668, 0.5},
		{"largest", most, 3822, 0.5},
		{"smallest", least, 394, 0.5},
		{"axis of the smallest", angle*180/math.Pi - 90, -35.47, 0.005},
	} {
		if !scalar.EqualWithinAbs(c.got, c.want, c.tol) {
			t.Errorf("%s: %v, published %v", c.name, c.got, c.want)
		}
	}
}

// kidney is a weight-like figure with arcs both ways round, far from nice.
func kidney() Outline {
	return Outline{
		Line(r2.Vec{X: 0.011, Y: -0.004}),
		{To: r2.Vec{X: 0.029, Y: 0.007}, Sweep: 1.3},
		{To: r2.Vec{X: 0.024, Y: 0.016}, Sweep: 2.9},
		{To: r2.Vec{X: 0.009, Y: 0.006}, Sweep: -0.8},
	}
}

// Green's theorem against area integration that knows nothing of it: strips
// across the figure between the crossings of its sampled boundary.
func TestGreenAgainstQuadrature(t *testing.T) {
	o := kidney()
	got := section(t, o)
	boundary := sample(o, 4000)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range boundary {
		lo, hi = min(lo, p.X), max(hi, p.X)
	}
	// Moments of a vertical strip at x: integrals over y between its crossings.
	strip := func(x float64) (n, y, yy float64) {
		for i, p := range boundary {
			q := boundary[(i+1)%len(boundary)]
			if (p.X <= x) == (q.X <= x) {
				continue
			}
			h := p.Y + (x-p.X)/(q.X-p.X)*(q.Y-p.Y)
			s := math.Copysign(1, p.X-q.X) // leftward edges are the upper ones
			n += s * h
			y += s * h * h / 2
			yy += s * h * h * h / 3
		}
		return n, y, yy
	}
	xs, ws := make([]float64, 1000), make([]float64, 1000)
	quad.Legendre{}.FixedLocations(xs, ws, lo, hi)
	var area, mx, my, mxx, myy, mxy float64
	for i, x := range xs {
		n, y, y2 := strip(x)
		area += ws[i] * n
		mx += ws[i] * n * x
		my += ws[i] * y
		mxx += ws[i] * n * x * x
		myy += ws[i] * y2
		mxy += ws[i] * x * y
	}
	xx, yy, xy, err := got.About(r2.Vec{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"area", got.Area, area},
		{"x", got.Centroid.X, mx / area},
		{"y", got.Centroid.Y, my / area},
		{"integral of y^2", xx, myy},
		{"integral of x^2", yy, mxx},
		{"integral of x y", xy, mxy},
	} {
		// The strips see vertical tangents at both ends: error like n^-3/2.
		if !scalar.EqualWithinRel(c.got, c.want, 2e-5) {
			t.Errorf("%s: Green %v, strips %v", c.name, c.got, c.want)
		}
	}
}

// sample returns points along an outline, n to an edge, by turning about each
// arc's centre: independent of how the package integrates.
func sample(o Outline, n int) []r2.Vec {
	var points []r2.Vec
	from := o[len(o)-1].To
	for _, e := range o {
		if e.Sweep == 0 {
			points = append(points, from)
			from = e.To
			continue
		}
		mid := r2.Scale(0.5, r2.Add(from, e.To))
		half := r2.Scale(0.5, r2.Sub(e.To, from))
		left := r2.Vec{X: -half.Y, Y: half.X}
		centre := r2.Add(mid, r2.Scale(1/math.Tan(e.Sweep/2), left))
		for i := range n {
			points = append(points, r2.Rotate(from, e.Sweep*float64(i)/float64(n), centre))
		}
		from = e.To
	}
	return points
}

// Moving, turning and running the other way round change what they should and
// nothing else.
func TestSectionInvariance(t *testing.T) {
	o := kidney()
	want := section(t, o)
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		angle := rng.Float64() * 7
		about := r2.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64()}
		shift := r2.Vec{X: 10 * rng.NormFloat64(), Y: 10 * rng.NormFloat64()}
		got := section(t, placed(o, angle, about, shift))
		place := r2.Add(r2.Rotate(want.Centroid, angle, about), shift)
		// Coordinates of size 10 m hold 1e-15 m, which is 1e-13 of the figure.
		if !scalar.EqualWithinRel(got.Area, want.Area, 1e-10) || !scalar.EqualWithinRel((got.XX+got.YY), (want.XX+want.YY), 1e-10) {
			t.Errorf("turned by %v: area %v, polar %v, want %v, %v", angle, got.Area, (got.XX + got.YY), want.Area, (want.XX + want.YY))
		}
		if d := r2.Norm(r2.Sub(got.Centroid, place)); !(d <= 1e-12) {
			t.Errorf("turned by %v: centroid off by %v m", angle, d)
		}
		a, b, _ := principal(t, got)
		c, d, _ := principal(t, want)
		if !scalar.EqualWithinRel(a, c, 1e-9) || !scalar.EqualWithinRel(b, d, 1e-9) {
			t.Errorf("turned by %v: principal %v, %v, want %v, %v", angle, a, b, c, d)
		}
	}
	var back Outline
	for i := len(o) - 1; i >= 0; i-- {
		back = append(back, Edge{To: o[(i+len(o)-1)%len(o)].To, Sweep: -o[i].Sweep})
	}
	got := section(t, back)
	if !scalar.EqualWithinRel(got.Area, want.Area, 1e-13) || !scalar.EqualWithinRel(got.XX, want.XX, 1e-12) {
		t.Errorf("run backwards: %+v, want %+v", got, want)
	}
}

// placed returns an outline turned about a point and shifted.
func placed(o Outline, angle float64, about, shift r2.Vec) Outline {
	out := make(Outline, len(o))
	for i, e := range o {
		out[i] = Edge{To: r2.Add(r2.Rotate(e.To, angle, about), shift), Sweep: e.Sweep}
	}
	return out
}

func principal(t *testing.T, s Section) (most, least, angle float64) {
	t.Helper()
	most, least, angle, err := s.Principal()
	if err != nil {
		t.Fatal(err)
	}
	return most, least, angle
}

// An arc whose ends differ by one rounding, as a drawing's closing edge does,
// encloses nothing and changes nothing, whatever its sweep.
func TestArcBetweenRoundedEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	want := section(t, kidney())
	for n := range 2000 {
		o := placed(kidney(), 7*rng.Float64(), r2.Vec{}, r2.Vec{X: 0.03 * rng.NormFloat64(), Y: 0.03 * rng.NormFloat64()})
		k := rng.IntN(len(o))
		end := o[k].To
		end.X = math.Nextafter(end.X, float64(1-2*rng.IntN(2)))
		if rng.IntN(2) == 0 {
			end.Y = math.Nextafter(end.Y, float64(1-2*rng.IntN(2)))
		}
		o = append(o[:k+1], append(Outline{{To: end, Sweep: (2*rng.Float64() - 1) * 6.28}}, o[k+1:]...)...)
		got, err := o.Section()
		if err != nil {
			t.Fatalf("outline %d: %v", n, err)
		}
		if !scalar.EqualWithinRel(got.Area, want.Area, 1e-12) || !scalar.EqualWithinRel(got.XX+got.YY, want.XX+want.YY, 1e-11) {
			t.Fatalf("outline %d: area %v, polar %v, want %v, %v", n, got.Area, got.XX+got.YY, want.Area, want.XX+want.YY)
		}
	}
	// Nearly a full turn, the same rounding would decide the radius.
	near := Outline{Line(r2.Vec{X: 0.02}), {To: r2.Vec{X: math.Nextafter(0.02, 1)}, Sweep: 2*math.Pi - 1e-15}}
	if _, err := near.Section(); !errors.Is(err, valid.ErrRange) {
		t.Errorf("a circle as one arc: %v", err)
	}
}

func TestRefusedOutlines(t *testing.T) {
	nan := math.NaN()
	for name, o := range map[string]Outline{
		"zero value":         nil,
		"one edge":           {Line(r2.Vec{X: 1})},
		"a line":             Polygon(r2.Vec{}, r2.Vec{X: 1}, r2.Vec{X: 2}),
		"all in one point":   Polygon(r2.Vec{}, r2.Vec{}, r2.Vec{}),
		"not a number":       Polygon(r2.Vec{}, r2.Vec{X: nan}, r2.Vec{Y: 1}),
		"sweep not a number": {Line(r2.Vec{}), {To: r2.Vec{X: 1}, Sweep: nan}},
		"full turn":          {Line(r2.Vec{}), {To: r2.Vec{X: 1}, Sweep: 2 * math.Pi}},
		"arc to itself":      {Line(r2.Vec{X: 1}), {To: r2.Vec{X: 1}, Sweep: 1}, Line(r2.Vec{Y: 1})},
		"figure of eight":    Polygon(r2.Vec{}, r2.Vec{X: 1, Y: 1}, r2.Vec{X: 1}, r2.Vec{Y: 1}),
		"out of bounds":      Circle(r2.Vec{X: 1e9}, 1),
	} {
		if _, err := o.Section(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: Section gave %v", name, err)
		}
	}
}
