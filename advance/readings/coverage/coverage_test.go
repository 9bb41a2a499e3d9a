package coverage_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/coverage"
)

// Over a thousand simulated distributors the two-sided intervals hold the truth in
// 93 to 97 of 100 cases for each quantity, as far as the count tells: its own
// standard error, about one in a hundred, is allowed on top. One-sided limits hold
// in 93 or more; of the blunders at least 85 in 100 are named, of good readings
// less than one. examples/coverage prints the table for any seed and number.
func TestCoverage(t *testing.T) {
	const engines, seed = 1000, 1
	table, err := coverage.Run(context.Background(), engines, seed, nil)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := table.Write(&text); err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + text.String())
	for _, r := range table.Rows {
		if r.TwoSided+r.OneSided+r.Unknown != engines {
			t.Errorf("%s: %d engines counted, want %d", r.Quantity, r.TwoSided+r.OneSided+r.Unknown, engines)
		}
		if r.TwoSided < 150 {
			t.Errorf("%s: %d two-sided intervals are too few to count", r.Quantity, r.TwoSided)
			continue
		}
		err := 100 * math.Sqrt(0.95*0.05/float64(r.TwoSided))
		if held := 100 * float64(r.Held) / float64(r.TwoSided); !(held >= 93-err && held <= 97+err) {
			t.Errorf("%s: two-sided intervals hold in %.1f %%, want 93 to 97, or %.1f off", r.Quantity, held, err)
		}
		if held := 100 * float64(r.OneHeld) / float64(max(r.OneSided, 1)); r.OneSided > 0 && !(held >= 93) {
			t.Errorf("%s: one-sided limits hold in %.1f %%, want 93 or more", r.Quantity, held)
		}
	}
	if rate := 100 * float64(table.Named) / float64(table.Blunders); !(rate >= 85) {
		t.Errorf("%.1f %% of blunders named, want 85 or more", rate)
	}
	if rate := 100 * float64(table.Mistaken) / float64(table.Good); !(rate <= 1) {
		t.Errorf("%.2f %% of good readings named by mistake, want 1 or less", rate)
	}
}

func TestRunRefuses(t *testing.T) {
	if _, err := coverage.Run(context.Background(), 0, 1, nil); !errors.Is(err, readings.ErrRange) {
		t.Errorf("no engines: got %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := coverage.Run(ctx, 3, 1, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}

// A drawn engine is what its fields say.
func TestDraw(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 0))
	for range 50 {
		e := coverage.Draw(rng)
		const tiny = 1e-6 // deg: the curve is held outside its ends
		if d := e.Advance(e.Start-1) - e.Static; !(d <= tiny && d >= -tiny) {
			t.Errorf("below the start the advance is %g deg above static", d)
		}
		if d := e.Advance(e.AllIn+1) - e.Static - e.Travel; !(d <= tiny && d >= -tiny) {
			t.Errorf("above all-in the advance is %g deg off the total", d)
		}
		last := e.Static
		for n := 400.0; n < 5000; n += 100 {
			if a := e.Advance(n); a < last-tiny {
				t.Errorf("the advance falls at %g rpm", n)
			} else {
				last = a
			}
		}
	}
}
