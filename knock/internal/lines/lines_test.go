package lines

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

func TestPoints(t *testing.T) {
	x, y := []float64{-1, 0.1, 0.7, 3}, []float64{2, 0.3, 0.3, -9}
	table, err := New(x, y)
	if err != nil {
		t.Fatal(err)
	}
	for i := range x {
		if got, err := table.Strict(x[i]); err != nil || got != y[i] {
			t.Errorf("at %g: %g, %v", x[i], got, err)
		}
	}
	for _, c := range [][2]float64{{-0.45, 1.15}, {0.3, 0.3}, {1.85, -4.35}} {
		if got, err := table.Strict(c[0]); err != nil || !(math.Abs(got-c[1]) <= 1e-15*9) {
			t.Errorf("at %g: %g, %v, want %g", c[0], got, err, c[1])
		}
	}
	for at, want := range map[float64]float64{-5: 2, 7: -9, math.Inf(1): -9, math.Inf(-1): 2} {
		if got, err := table.Clamped(at); err != nil || got != want {
			t.Errorf("clamped at %g: %g, %v, want %g", at, got, err, want)
		}
		if _, err := table.Strict(at); !errors.Is(err, valid.ErrRange) {
			t.Errorf("strict at %g: %v", at, err)
		}
	}
	if from, to := table.ends(); from != -1 || to != 3 {
		t.Error(from, to)
	}
	x[0] = 99 // the table keeps its own points
	if from, _ := table.ends(); from != -1 {
		t.Error("the table shares the caller's slice")
	}
}

// A straight line comes back from any points on it, and a rising table never
// falls.
func TestRandom(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		n := 1 + rng.IntN(6)
		x, line, rise := make([]float64, n), make([]float64, n), make([]float64, n)
		at, up := rng.NormFloat64(), rng.NormFloat64()
		for i := range n {
			at += rng.ExpFloat64() + 1e-9
			up += rng.ExpFloat64()
			x[i], line[i], rise[i] = at, 3-2*at, up
		}
		straight, err := New(x, line)
		if err != nil {
			t.Fatal(err)
		}
		rising, err := New(x, rise)
		if err != nil {
			t.Fatal(err)
		}
		before := math.Inf(-1)
		for k := range 101 {
			at := x[0] + (x[n-1]-x[0])*float64(k)/100
			got, err := straight.Clamped(at)
			if err != nil || !(math.Abs(got-(3-2*at)) <= 1e-13*(1+math.Abs(at))) {
				t.Fatalf("line at %g: %g, %v", at, got, err)
			}
			r, err := rising.Clamped(at)
			if err != nil || r < before {
				t.Fatalf("falls at %g: %g after %g, %v", at, r, before, err)
			}
			before = r
		}
	}
}

func TestRefused(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range [][2][]float64{
		{nil, nil}, {{1}, nil}, {{1, 2}, {1}}, {{1, 1}, {0, 0}}, {{2, 1}, {0, 0}},
		{{nan}, {0}}, {{0}, {nan}}, {{0}, {inf}}, {{-inf, 0}, {0, 0}}, {{0, 1}, {0, 1e301}},
	} {
		if _, err := New(c[0], c[1]); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%v: %v", c, err)
		}
	}
	var none *Table
	for _, table := range []*Table{none, {}} {
		if _, err := table.Clamped(1); !errors.Is(err, valid.ErrRange) {
			t.Errorf("no points: %v", err)
		}
	}
	one, err := New([]float64{1}, []float64{5})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := one.Clamped(nan); !errors.Is(err, valid.ErrRange) {
		t.Errorf("NaN: %v", err)
	}
	if got, err := one.Clamped(-3); err != nil || got != 5 {
		t.Errorf("one point: %g, %v", got, err)
	}
}

// At the ends of float64 nothing overflows.
func TestExtremes(t *testing.T) {
	wide, err := New([]float64{-1e300, 1e300}, []float64{1e300, -1e300})
	if err != nil {
		t.Fatal(err)
	}
	thin, err := New([]float64{0, 5e-324}, []float64{-1e300, 1e300})
	if err != nil {
		t.Fatal(err)
	}
	for _, table := range []*Table{wide, thin} {
		for _, x := range []float64{-1e308, -1e300, -5e-324, 0, 5e-324, 1, 1e300, math.MaxFloat64} {
			if y, err := table.Clamped(x); err != nil || !(math.Abs(y) <= 1e300) {
				t.Errorf("at %g: %g, %v", x, y, err)
			}
		}
	}
}

func ExampleTable() {
	// The load of a spring, read at three lengths in mm.
	loads, err := New([]float64{22, 25, 30}, []float64{3.1, 7.0, 13.6})
	if err != nil {
		fmt.Println(err)
		return
	}
	y, err := loads.Strict(24)
	fmt.Printf("%.1f N %v\n", y, err)
	y, err = loads.Clamped(35)
	fmt.Printf("%.1f N %v\n", y, err)
	_, err = loads.Strict(35)
	fmt.Println(err)
	// Output:
	// 5.7 N <nil>
	// 13.6 N <nil>
	// lines: value out of range: x is 35, valid is 22 to 30
}

// Any three points and any place: a table is refused, or answers between its own
// values.
func FuzzTable(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(0.0, 1.0, 2.0, 5.0, -1.0, 3.0, 0.5)
	f.Add(-1e300, 0.0, 1e300, 1e300, -1e300, 0.0, 1e299)
	f.Add(0.0, 5e-324, 1e-323, 1.0, 2.0, 3.0, 5e-324)
	f.Add(math.NaN(), 1.0, math.Inf(1), 0.0, 0.0, 0.0, math.NaN())
	f.Fuzz(func(t *testing.T, x0, x1, x2, y0, y1, y2, x float64) {
		table, err := New([]float64{x0, x1, x2}, []float64{y0, y1, y2})
		if err != nil {
			return
		}
		lo, hi := min(y0, y1, y2), max(y0, y1, y2)
		clamped, err := table.Clamped(x)
		if (err == nil) == math.IsNaN(x) || err == nil && !(clamped >= lo && clamped <= hi) {
			t.Errorf("at %v: %v, %v, want %v to %v", x, clamped, err, lo, hi)
		}
		if strict, err := table.Strict(x); err == nil && strict != clamped {
			t.Errorf("at %v: strict %v, clamped %v", x, strict, clamped)
		}
	})
}
