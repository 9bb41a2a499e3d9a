package learned_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/readings/learned/simulated"
)

// sixRuns are the runs of a whole job: two kinds of spring, two sets of weights, the
// slot closed once.
func sixRuns() []learned.Run {
	rng := rand.New(rand.NewPCG(1, 1))
	d := simulated.Draw(rng, simulated.Class{})
	var runs []learned.Run
	for _, c := range []learned.Combination{
		simulated.Parts("aa", ""), simulated.Parts("bb", ""), simulated.Parts("ab", ""),
		simulated.Parts("aa", "v"), simulated.Parts("bb", "v"), simulated.Parts("aa", ""),
	} {
		runs = append(runs, d.Read(rng, c, simulated.Usual, ""))
	}
	return runs
}

// Six runs with bands: 0.3 s on two cores.
func BenchmarkFitSixRuns(b *testing.B) {
	runs := sixRuns()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := learned.Fit(context.Background(), runs, nil); err != nil {
			b.Fatal(err)
		}
	}
}
