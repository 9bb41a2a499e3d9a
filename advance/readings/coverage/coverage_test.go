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
	"gonum.org/v1/gonum/stat"
)

// Over a thousand simulated distributors the two-sided intervals hold the truth in
// 93 to 97 of 100 cases for each quantity. One-sided limits hold in 93 or more; they
// hold more often than intervals because those that lie beyond the readings cannot
// be wrong. Of the outliers at least 85 in 100 are named, of good readings less than
// one. examples/coverage prints the table for any seed and number.
func TestCoverage(t *testing.T) {
	plan := coverage.Plan{Engines: 1000, Seed: 1}
	table, err := coverage.Run(context.Background(), plan, nil)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	if err := table.Write(&text); err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + text.String())
	for _, r := range table.Rows {
		if r.TwoSided+r.OneSided+r.Unknown != plan.Engines {
			t.Errorf("%s: %d engines counted, want %d", r.Quantity, r.TwoSided+r.OneSided+r.Unknown, plan.Engines)
		}
		if r.TwoSided < 300 {
			t.Errorf("%s: %d two-sided intervals are too few to count", r.Quantity, r.TwoSided)
			continue
		}
		if held := 100 * float64(r.Held) / float64(r.TwoSided); !(held >= 93 && held <= 97) {
			t.Errorf("%s: two-sided intervals hold in %.1f %%, want 93 to 97", r.Quantity, held)
		}
		if held := 100 * float64(r.OneHeld) / float64(max(r.OneSided, 1)); r.OneSided > 0 && !(held >= 93) {
			t.Errorf("%s: one-sided limits hold in %.1f %%, want 93 or more", r.Quantity, held)
		}
	}
	if rate := 100 * float64(table.Named) / float64(table.Outliers); !(rate >= 85) {
		t.Errorf("%.1f %% of outliers named, want 85 or more", rate)
	}
	if rate := 100 * float64(table.Mistaken) / float64(table.Good); !(rate <= 1) {
		t.Errorf("%.2f %% of good readings named by mistake, want 1 or less", rate)
	}
}

func TestRunRefuses(t *testing.T) {
	for _, p := range []coverage.Plan{{}, {Engines: 1, Readings: 2}, {Engines: -3}} {
		if _, err := coverage.Run(context.Background(), p, nil); !errors.Is(err, readings.ErrRange) {
			t.Errorf("%+v: got %v", p, err)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := coverage.Run(ctx, coverage.Plan{Engines: 3}, nil); !errors.Is(err, context.Canceled) {
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

// The prior of the bend lies between the spread of the bends of layouts drawn at
// random whose springs all pull from the start, and that of all layouts, told apart
// by how well one ramp follows them: to a tenth of a degree, which no light shows.
func TestBendPrior(t *testing.T) {
	const engines, seed = 400, 3
	rng := rand.New(rand.NewPCG(seed, 0))
	var bends, plain []float64
	for range engines {
		e := coverage.Draw(rng)
		a, b := e.Start*e.Start, e.AllIn*e.AllIn
		least, best := math.Inf(1), 0.0
		for k := -2.0; k <= 2; k += 0.02 { // by trial: the bend of the one ramp that lies nearest
			sum := 0.0
			for j := range 19 {
				n := e.Start + (e.AllIn-e.Start)*float64(j+1)/20
				up, down := n*n-a, b-n*n
				sum += math.Pow((e.Advance(n)-e.Static)/e.Travel-up/(up+math.Exp(k)*down), 2)
			}
			if sum < least {
				least, best = sum, k
			}
		}
		bends = append(bends, best)
		if off := e.Travel * math.Sqrt(least/19); off < 0.1 {
			plain = append(plain, best)
		}
	}
	mean, all := stat.MeanStdDev(bends, nil)
	_, one := stat.MeanStdDev(plain, nil)
	t.Logf("%d engines, seed %d: bend %.3f, spread %.3f; %d without a knee, spread %.3f", engines, seed, mean, all, len(plain), one)
	prior := readings.DefaultBend
	if !(math.Abs(mean-prior.Value) <= 0.25*prior.Sigma) || !(one <= prior.Sigma && prior.Sigma <= all) || len(plain) < engines/4 {
		t.Errorf("seed %d: the prior is %+v", seed, prior)
	}
}
