package readings

import (
	"bufio"
	"context"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// A straight ramp between two plateaus, its five figures and the ends of their
// intervals agree with SciPy's: testdata/piecewise.py builds the same likelihood
// by quadrature and finds the minima and the profile by other methods.
func TestPiecewiseAgainstSciPy(t *testing.T) {
	want := readFigures(t, "testdata/piecewise.txt")
	var rs []Reading
	deg := []float64{8, 7, 9.5, 11.5, 17, 20.5, 23, 29, 31.5, 33, 34.5, 33.5}
	for k, n := range []float64{610, 790, 1010, 1240, 1490, 1760, 2010, 2240, 2510, 2990, 3520, 4010} {
		rs = append(rs, Reading{RPM: n, Degrees: deg[k]})
	}
	r, err := Fit(context.Background(), rs, &Settings{Shape: Straight, MaxSlopes: 1})
	if err != nil {
		t.Fatal(err)
	}
	// The fitting core stops when a step wins less than 1e-9 of the sum, the search
	// for an end within 0.02 of the root of the threshold, a hundredth of the
	// half width.
	if d := r.fit.deviance; !(math.Abs(d-want["deviance"][0]) <= 1e-5) {
		t.Errorf("deviance %.7f, SciPy %.7f", d, want["deviance"][0])
	}
	if c := r.fit.both; !(math.Abs(c-want["threshold"][0]) <= 1e-4) {
		t.Errorf("threshold %.7f, SciPy %.7f", c, want["threshold"][0])
	}
	for name, e := range map[string]Estimate{"static": r.Static, "total": r.Total, "travel": r.Travel, "start": r.Start, "all-in": r.AllIn} {
		w := want[name]
		if len(w) != 3 {
			t.Fatalf("piecewise.txt has %d figures for %s, want 3", len(w), name)
		}
		half := (w[2] - w[1]) / 2
		for k, got := range []float64{e.Value, e.Low, e.High} {
			tol := 0.01 * half
			if k == 0 {
				tol = 0.001 * half
			}
			if !(math.Abs(got-w[k]) <= tol) {
				t.Errorf("%s: got %.5f, SciPy %.5f, tolerance %.5f", name, got, w[k], tol)
			}
		}
	}
}

// readFigures reads lines of a name and figures.
func readFigures(t *testing.T, name string) map[string][]float64 {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := map[string][]float64{}
	for s := bufio.NewScanner(f); s.Scan(); {
		words := strings.Fields(s.Text())
		for _, w := range words[1:] {
			v, err := strconv.ParseFloat(w, 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			out[words[0]] = append(out[words[0]], v)
		}
	}
	return out
}
