package learned_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/learnedparts/simulated"
)

// sixRuns are the runs of a whole job: two kinds of spring, two sets of weights, the
// slot closed once.
func sixRuns() (*simulated.Distributor, []learned.Run) {
	rng := rand.New(rand.NewPCG(1, 1))
	d := simulated.Draw(rng, false, false)
	var runs []learned.Run
	for _, c := range []learned.Combination{
		simulated.Parts("aa", ""), simulated.Parts("bb", ""), simulated.Parts("ab", ""),
		simulated.Parts("aa", "v"), simulated.Parts("bb", "v"), simulated.Parts("aa", ""),
	} {
		runs = append(runs, d.Read(rng, c, simulated.Usual, ""))
	}
	return d, runs
}

// Six runs with bands: 0.3 s on two cores.
func BenchmarkFitSixRuns(b *testing.B) {
	_, runs := sixRuns()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := learned.Fit(context.Background(), runs, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// The same with listed parts, and each part let go of in turn.
func BenchmarkFitListedSixRuns(b *testing.B) {
	d, runs := sixRuns()
	listed := d.Listed(rand.New(rand.NewPCG(1, 2)), nil)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := learned.FitListed(context.Background(), runs, listed, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// A run judged against two before it.
func BenchmarkJudge(b *testing.B) {
	_, runs := sixRuns()
	r, err := learned.Fit(context.Background(), runs[:2], nil)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := r.Judge(context.Background(), runs[2]); err != nil {
			b.Fatal(err)
		}
	}
}
