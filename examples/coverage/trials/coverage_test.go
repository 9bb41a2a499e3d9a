package trials

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/bobweight/springs/valid"
)

// Over simulated distributors of one and of two stages the two-sided intervals hold
// the truth in 93 to 97 of 100 cases, allowing for the count: two and a half standard
// errors of it. One-sided limits may hold more. examples/coverage prints the table for
// any seed and number.
func TestCoverage(t *testing.T) {
	plan := Plan{Engines: 800, Seed: 1}
	if testing.Short() {
		plan.Engines = 150
	}
	table, err := Run(context.Background(), plan, nil)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := table.Write(&text); err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + text.String())
	for _, c := range table.Classes[:3] {
		for _, r := range c.Rows {
			if r.TwoSided+r.OneSided+r.Unknown != c.Engines {
				t.Errorf("%s, %s: %d engines counted, want %d", c.Name, r.Quantity, r.TwoSided+r.OneSided+r.Unknown, c.Engines)
			}
			check(t, c.Name+", "+r.Quantity+", two-sided", r.Held, r.TwoSided, 0.97)
			check(t, c.Name+", "+r.Quantity+", one-sided", r.OneHeld, r.OneSided, 1)
		}
	}
	all := table.Classes[0]
	if rate := float64(all.Found) / float64(all.Slips); !(rate >= 0.85-2.5*math.Sqrt(0.85*0.15/float64(all.Slips))) {
		t.Errorf("%d of %d slips found, want 85 %% or more", all.Found, all.Slips)
	}
	if rate := float64(all.Mistaken) / float64(all.Good); !(rate <= 0.01+2.5*math.Sqrt(0.01*0.99/float64(all.Good))) {
		t.Errorf("%d of %d good readings named by mistake, want 1 %% or less", all.Mistaken, all.Good)
	}
}

// check holds a count against 93 % and the most, allowing for chance.
func check(t *testing.T, what string, held, of int, most float64) {
	t.Helper()
	if of < 40 {
		return // too few to count
	}
	rate, chance := float64(held)/float64(of), 2.5*math.Sqrt(0.05*0.95/float64(of))
	if !(rate >= 0.93-chance && rate <= most+chance) {
		t.Errorf("%s: holds in %d of %d, want 93 %% to %.0f %%", what, held, of, 100*most)
	}
}

func TestRunRefuses(t *testing.T) {
	for _, p := range []Plan{{}, {Engines: 1, Readings: 2}, {Engines: -3}} {
		if _, err := Run(context.Background(), p, nil); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%+v: got %v", p, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Run(ctx, Plan{Engines: 3}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}

// A drawn engine is what its fields say.
func TestDraw(t *testing.T) {
	two := 0
	for k := range 60 {
		e := draw(rand.New(rand.NewPCG(7, uint64(k))))
		if e == nil {
			t.Fatalf("engine %d: none drawn", k)
		}
		if e.TwoStage {
			two++
		}
		const tiny = 1e-6 // deg: the curve is held outside its ends
		if d := e.advance(e.Start-1) - e.Static; !(d <= tiny && d >= -tiny) {
			t.Errorf("below the start the advance is %g deg above static", d)
		}
		if d := e.advance(e.AllIn+1) - e.Static - e.Travel; !(d <= tiny && d >= -tiny) {
			t.Errorf("above all-in the advance is %g deg off the total", d)
		}
		last := e.Static
		for n := 400.0; n < 5000; n += 100 {
			if a := e.advance(n); a < last-tiny {
				t.Errorf("the advance falls at %g rpm", n)
			} else {
				last = a
			}
		}
	}
	if two < 15 || two > 45 {
		t.Errorf("%d of 60 engines have two stages, half expected", two)
	}
}

// Errors of every law have mean 0 and mean square 1. Of Student's law with three
// degrees of freedom the fourth moment is infinite, so that its square wanders more.
func TestSampleErrors(t *testing.T) {
	e := draw(rand.New(rand.NewPCG(7, 0)))
	count := map[errorLaw]int{}
	square := map[errorLaw]float64{}
	outliers, n := 0, 0
	for k := range 3000 {
		s := e.take(rand.New(rand.NewPCG(8, uint64(k))), 12)
		slip := map[int]bool{}
		for _, i := range s.Outliers {
			slip[i] = true
		}
		outliers += len(slip)
		n++
		for i, r := range s.Readings {
			if r.RPM > e.AllIn+200 && !slip[i] { // level: only the light's error, rounded
				d := r.Degrees - e.Static - e.Travel
				count[s.Law]++
				square[s.Law] += d * d
			}
		}
	}
	for law, c := range count {
		mean := square[law] / float64(c)
		if !(mean > 0.85 && mean < 1.35) { // 1, and 1/48 to 1/12 of rounding
			t.Errorf("law %d: mean square %.3f of %d errors", law, mean, c)
		}
	}
	if rate := float64(outliers) / float64(n); len(count) != 3 || !(rate > 0.4 && rate < 0.6) {
		t.Errorf("%d laws, %.2f slips in a set, want 0.5", len(count), rate)
	}
}

// The stored intervals belong to the readings that are drawn, and the table of widths has
// a line for each quantity.
func TestWidths(t *testing.T) {
	if testing.Short() {
		sets, err := readRamps(ramps)
		if err != nil || len(sets) < 300 {
			t.Fatalf("%d sets, error %v", len(sets), err)
		}
		return
	}
	var text strings.Builder
	if err := Widths(context.Background(), &text, nil); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(text.String(), "\n"); n != 2+len(rows) || strings.Contains(text.String(), "NaN") {
		t.Errorf("%d lines:\n%s", n, text.String())
	}
	if err := Widths(context.Background(), nil, nil); err == nil {
		t.Error("no writer was taken")
	}
	for _, bad := range []string{"1 2 3\n", strings.Repeat("x ", 3+2*len(rows))} {
		if _, err := readRamps(bad); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}
