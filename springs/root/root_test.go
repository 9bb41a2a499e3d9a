package root

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// Zeros that are known otherwise: Wallis's cubic, whose root stands in A System of
// Algebra (1685) and in most texts on numerical analysis as 2.0945514815; the
// number of Dottie, OEIS A003957; and closed forms.
func TestBrent(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func(float64) float64
		a, b float64
		want float64
		most int // evaluations
	}{
		{"Wallis's cubic", func(x float64) float64 { return x*x*x - 2*x - 5 }, 2, 3, 2.0945514815423265, 10},
		{"cosine's fixed point", func(x float64) float64 { return math.Cos(x) - x }, 0, 1, 0.7390851332151607, 9},
		{"cube root, ends exchanged", func(x float64) float64 { return 3 - x*x*x }, 9, -1, math.Cbrt(3), 16},
		{"ninth power", func(x float64) float64 { return math.Pow(x, 9) - 1e-9 }, 0, 2, 0.1, 40},
		{"a step", func(x float64) float64 { return math.Copysign(1, x-math.Pi) }, 3, 4, math.Pi, 60},
		{"infinite beyond", func(x float64) float64 { return math.Exp(x) - 1e10 }, 0, 1e4, 10 * math.Ln10, 40},
		{"zero at the first end", func(x float64) float64 { return x }, 0, 1, 0, 2},
		{"zero at the second end", func(x float64) float64 { return x - 1 }, 0, 1, 1, 2},
	} {
		n := 0
		x, fx, err := Brent(func(x float64) float64 { n++; return c.f(x) }, c.a, c.b, 0)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !(math.Abs(x-c.want) <= 4*0x1p-52*math.Abs(c.want)) {
			t.Errorf("%s: %v, want %v", c.name, x, c.want)
		}
		if fx != c.f(x) {
			t.Errorf("%s: value %v is not that at %v", c.name, fx, x)
		}
		if n > c.most {
			t.Errorf("%s: %d evaluations, want at most %d", c.name, n, c.most)
		}
	}
}

func TestBrentTolerance(t *testing.T) {
	for _, tol := range []float64{1e-3, 1e-6, 1e-12} {
		x, _, err := Brent(func(x float64) float64 { return math.Atan(x - 1) }, -3, 20, tol)
		if err != nil || !(math.Abs(x-1) <= 2*tol+4*0x1p-52) {
			t.Errorf("tolerance %g: %v, %v", tol, x, err)
		}
	}
}

// Every bracket ends, also one that spans all of float64's magnitudes.
func TestEnds(t *testing.T) {
	for _, zero := range []float64{0, 1e-320, 1e-200, 1, 1e200, 3e307} {
		for _, g := range []func(x float64) float64{
			func(x float64) float64 { return math.Copysign(1, x-zero) },
			func(x float64) float64 { return x - zero },
			func(x float64) float64 { return math.Cbrt(x) - math.Cbrt(zero) },
		} {
			for _, a := range []float64{-4e307, -1, -1e-300} {
				x, _, err := Brent(g, a, 4e307, 0)
				if err != nil || !(math.Abs(x-zero) <= math.Max(8*0x1p-52*zero, 5e-324)) {
					t.Errorf("zero at %g from %g: %g, %v", zero, a, x, err)
				}
			}
		}
		last, first, err := Edge(func(x float64) bool { return x <= zero }, -math.MaxFloat64, math.MaxFloat64, 0)
		if err != nil || !(last <= zero && first > zero && first <= math.Nextafter(math.Nextafter(zero, 1e308), 1e308)) {
			t.Errorf("edge at %g: %g to %g, %v", zero, last, first, err)
		}
	}
}

func TestEdge(t *testing.T) {
	last, first, err := Edge(func(x float64) bool { return x*x > 2 }, 5, 0, 0)
	if err != nil || first != math.Nextafter(last, 0) || !(last*last > 2) || first*first > 2 {
		t.Errorf("downwards: %v to %v, %v", last, first, err)
	}
	last, first, err = Edge(func(x float64) bool { return x < 1 }, 0, 2, 1e-3)
	if err != nil || !(last < 1 && first >= 1 && first-last <= 1e-3) {
		t.Errorf("with tolerance: %v to %v, %v", last, first, err)
	}
}

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	line := func(x float64) float64 { return x }
	for name, err := range map[string]error{
		"no function":        third(Brent(nil, -1, 1, 0)),
		"same sign":          third(Brent(line, 1, 2, 0)),
		"same sign below":    third(Brent(line, -1, -2, 0)),
		"NaN end":            third(Brent(line, nan, 1, 0)),
		"infinite end":       third(Brent(line, -1, inf, 0)),
		"negative tolerance": third(Brent(line, -1, 1, -1)),
		"NaN value":          third(Brent(func(x float64) float64 { return nan }, -1, 1, 0)),
		"NaN between": third(Brent(func(x float64) float64 {
			if math.Abs(x) < 0.9 {
				return nan
			}
			return x
		}, -1, 1, 0)),
		"no condition":     third(Edge(nil, 0, 1, 0)),
		"holds everywhere": third(Edge(func(float64) bool { return true }, 0, 1, 0)),
		"holds nowhere":    third(Edge(func(float64) bool { return false }, 0, 1, 0)),
		"infinite edge":    third(Edge(func(x float64) bool { return x < 0 }, -inf, 1, 0)),
		"NaN tolerance":    third(Edge(func(x float64) bool { return x < 0 }, -1, 1, nan)),
	} {
		if !errors.Is(err, ErrBracket) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func third[A, B any](_ A, _ B, err error) error { return err }

// Any bracket and cubic: the search ends with a sign change or with an error.
func FuzzBrent(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(-1.0, 2.0, 0.0, 1.0, -3.0, 0.5)
	f.Add(-4e307, 4e307, 0.0, 1e-300, 1e300, -1.0)
	f.Add(0.0, 5e-324, 0.0, 1.0, 0.0, 0.0)
	f.Add(math.NaN(), math.Inf(1), -1.0, math.NaN(), 1.0, 1.0)
	f.Fuzz(func(t *testing.T, a, b, tol, c1, c2, c3 float64) {
		calls := 0
		g := func(x float64) float64 { calls++; return c1 + x*(c2+x*c3) }
		x, fx, err := Brent(g, a, b, tol)
		if err == nil && (math.IsNaN(fx) || x < min(a, b) || x > max(a, b)) {
			t.Errorf("%v between %v and %v, value %v", x, a, b, fx)
		}
		holds := func(x float64) bool { calls++; return g(x) < 0 }
		if last, first, err := Edge(holds, a, b, tol); err == nil && (!holds(last) || holds(first)) {
			t.Errorf("edge from %v to %v", last, first)
		}
		if calls > 4*maxSteps+10 {
			t.Errorf("%d evaluations", calls)
		}
	})
}
