package design

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"

	"example.org/bobweight/springs/valid"
)

// Shigley's Eqs. 10-4 and 10-5 side by side, and the rows of the Wahl table in
// V. B. Bhandari, Design of Machine Elements, Example 10.3.
func TestCorrectionsPublished(t *testing.T) {
	for _, test := range []struct {
		k    Correction
		c    float64
		want float64
		tol  float64
	}{
		{Wahl, 4, 1.4038, 5e-5}, {Wahl, 6, 1.2525, 5e-5}, {Wahl, 12, 1.1194, 5e-5},
		{Bergstrasser, 4, 1.3846, 5e-5}, {Bergstrasser, 8, 1.1724, 5e-5}, {Bergstrasser, 12, 1.1111, 5e-5},
		{Wahl, 7.1, 1.210, 5e-4}, {Wahl, 7.3, 1.203, 5e-4},
	} {
		got, err := test.k.factor(test.c)
		if err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinAbs(got, test.want, test.tol) {
			t.Errorf("%v at C = %v: %v, published %v", test.k, test.c, got, test.want)
		}
	}
	// The EN 13906 form of Bergstrasser's factor is the same algebra.
	for c := 4.0; c < 20; c += 0.7 {
		got, err := Bergstrasser.factor(c)
		if err != nil || !scalar.EqualWithinRel(got, (c+0.5)/(c-0.75), 1e-14) {
			t.Errorf("C = %v: %v (%v), EN form %v", c, got, err, (c+0.5)/(c-0.75))
		}
	}
}

// corrections are all there are.
var corrections = []Correction{Bergstrasser, Wahl, DirectShear, Uncorrected}

// A straight bar is the limit of a large index: all corrections go to 1 and keep
// their order.
func TestCorrectionsOrder(t *testing.T) {
	for c := 2.0; c <= 100; c *= 1.1 {
		f := map[Correction]float64{}
		for _, k := range corrections {
			var err error
			if f[k], err = k.factor(c); err != nil {
				t.Fatal(err)
			}
		}
		if !(f[DirectShear] < f[Bergstrasser] && f[DirectShear] < f[Wahl] && f[Uncorrected] == 1) {
			t.Errorf("C = %v: factors %v", c, f)
		}
		if c > 90 && !(f[Wahl] < 1.02) {
			t.Errorf("C = %v: Wahl %v, want nearly 1", c, f[Wahl])
		}
	}
}

// The surge frequency is the half-wave resonance of a continuous elastic rod of
// the coil's mass and rate; a chain of point masses between springs goes to it
// as its links become many: f_n = n/pi sqrt(k n / (m/n)) sin(pi/(2n)) / n.
func TestSurgeIsLimitOfChain(t *testing.T) {
	w := Wire{Diameter: 0.8e-3, MeanDiameter: 6.1e-3, ActiveCoils: 10.4, ShearModulus: 80e9}
	const density = 7861
	f, err := w.Surge(density)
	if err != nil {
		t.Fatal(err)
	}
	k, err := w.Rate()
	if err != nil {
		t.Fatal(err)
	}
	mass := density * math.Pi * w.MeanDiameter * w.ActiveCoils * math.Pi * w.Diameter * w.Diameter / 4
	const links = 1000 // n springs of rate n k, n-1 masses of m/n between them
	chain := 2 * math.Sqrt(links*k/(mass/links)) * math.Sin(math.Pi/(2*links)) / (2 * math.Pi)
	// The chain lies below by (pi/(2n))^2/6.
	if !scalar.EqualWithinRel(f, chain, 1e-6) {
		t.Errorf("surge %v Hz, chain of %d links %v Hz", f, links, chain)
	}
}

func TestInitialTensionRange(t *testing.T) {
	// Norton, Machine Design, Eqs. 14.21a and b (from memory): cubic fits in psi.
	// They are another reading of the same chart: within 3 % low, 5 % high.
	for c := 4.0; c <= 12; c += 0.5 {
		from, middle, to, err := InitialStress(c)
		if err != nil {
			t.Fatal(err)
		}
		low := (-4.231*c*c*c + 181.5*c*c - 3387*c + 28640) * psi
		high := (-2.987*c*c*c + 139.7*c*c - 3427*c + 38404) * psi
		if !scalar.EqualWithinRel(from, low, 0.03) || !scalar.EqualWithinRel(to, high, 0.05) {
			t.Errorf("C = %v: %v to %v Pa, cubic fits %v to %v", c, from, to, low, high)
		}
		if !(from < middle && middle < to) {
			t.Errorf("C = %v: %v, %v, %v out of order", c, from, middle, to)
		}
	}
	// C = 8, d = 1 mm: 3.80, 4.89 and 5.99 N by Shigley's Eq. 10-41 (computed).
	low, middle, high, err := Wire{Diameter: 1e-3, MeanDiameter: 8e-3}.initialTension()
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []struct{ got, want float64 }{{low, 3.80}, {middle, 4.89}, {high, 5.99}} {
		if !scalar.EqualWithinAbs(v.got, v.want, 0.005) {
			t.Errorf("initial tension %v N, want %v N", v.got, v.want)
		}
	}
}

// Jindal, Machine Design, Example 8.3, p. 225 uses the older hook formula
// 32 F rm/(pi d^3) rm/ri; at the same bend the newer one, which also counts the
// pull, gives more stress for the same force but by less than a third.
func TestHookAgainstOlderFormula(t *testing.T) {
	const d, rm, force = 1.626e-3, 3e-3, 211.3
	old := 32 * force * rm / (math.Pi * d * d * d) * rm / (rm - d/2)
	if !scalar.EqualWithinAbs(old/mpa, 2060.5, 0.5) {
		t.Fatalf("older formula %v MPa, published 2060.5 MPa at 211.3 N", old/mpa)
	}
	got, err := HookBending(force, 2*rm, d, rm)
	if err != nil {
		t.Fatal(err)
	}
	if ratio := got / old; !(ratio > 0.8 && ratio < 1.3) {
		t.Errorf("hook bending %v Pa, older formula %v Pa", got, old)
	}
	// A wide bend leaves plain bending 32 (F D/2)/(pi d^3) and the pull.
	wide, err := HookBending(force, 2*rm, d, 100)
	if err != nil {
		t.Fatal(err)
	}
	if want := 32*force*rm/(math.Pi*d*d*d) + 4*force/(math.Pi*d*d); !scalar.EqualWithinRel(wide, want, 1e-4) {
		t.Errorf("straight wire %v Pa, want %v Pa", wide, want)
	}
}

func TestRefusedStress(t *testing.T) {
	nan := math.NaN()
	w := Wire{Diameter: 1e-3, MeanDiameter: 8e-3, ActiveCoils: 9, ShearModulus: 80e9}
	for name, f := range map[string]func() error{
		"index 1":                 func() error { _, err := Wire{Diameter: 1e-3, MeanDiameter: 1e-3}.Torsion(1, Wahl); return err },
		"unknown correction":      func() error { _, err := w.Torsion(1, ""); return err },
		"force not a number":      func() error { _, err := w.Torsion(nan, Wahl); return err },
		"no coil":                 func() error { _, err := Wire{}.Torsion(1, Wahl); return err },
		"weightless wire":         func() error { _, err := w.Surge(0); return err },
		"surge of no coil":        func() error { _, err := Wire{}.Surge(7861); return err },
		"initial stress at C = 3": func() error { _, _, _, err := InitialStress(3); return err },
		"initial, no coil":        func() error { _, _, _, err := Wire{}.initialTension(); return err },
		"initial tension, C = 30": func() error { _, _, _, err := Wire{Diameter: 1e-3, MeanDiameter: 0.03}.initialTension(); return err },
		"hook of no radius":       func() error { _, err := HookBending(1, 8e-3, 1e-3, 0.5e-3); return err },
		"hook of no wire":         func() error { _, err := HookBending(1, 8e-3, 0, 4e-3); return err },
		"hook bend not a number":  func() error { _, err := HookBending(1, 8e-3, 1e-3, nan); return err },
		"hook force negative":     func() error { _, err := HookBending(-1, 8e-3, 1e-3, 4e-3); return err },
	} {
		if err := f(); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s gave %v", name, err)
		}
	}
}
