package coverage_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/readings/coverage"
)

// With the parts measured, the intervals hold the truth as often, and static
// timing is known on both sides even where the advance has begun at idle. A count
// of sixty carries a standard error of 2.8 in a hundred; two of them below 95 is
// 89.
func TestPartsCoverage(t *testing.T) {
	const engines, seed = 60, 5
	held := map[string]int{}
	begun, narrow := 0, 0
	for k := range engines {
		rng := rand.New(rand.NewPCG(seed, uint64(k)))
		e := coverage.Draw(rng)
		s := e.Sample(rng, 0)
		r, err := readings.FitParts(context.Background(), s.Readings, e.Parts(rng), nil)
		if err != nil {
			t.Fatalf("engine %d: %v", k, err)
		}
		for name, q := range map[string]struct {
			readings.Estimate
			is float64
		}{
			"static": {r.Static, e.Static}, "start": {r.Start, e.Start}, "all-in": {r.AllIn, e.AllIn},
			"travel": {r.Travel, e.Travel}, "total": {r.Total, e.Static + e.Travel},
		} {
			if q.Covers(q.is) {
				held[name]++
			}
		}
		if e.Start < s.Readings[0].RPM-100 {
			begun++
			if r.Static.Bound == readings.Interval && r.Static.High-r.Static.Low < 6 {
				narrow++
			}
		}
	}
	t.Logf("%d engines, seed %d: held %v; begun at idle %d, of these static within 3 deg either side %d", engines, seed, held, begun, narrow)
	for name, n := range held {
		if rate := 100 * float64(n) / engines; !(rate >= 89) {
			t.Errorf("%s held in %.1f %%, want 95 and no less than 89", name, rate)
		}
	}
	if len(held) != 5 || begun < 3 || !(float64(narrow) >= 0.8*float64(begun)) {
		t.Errorf("%d quantities; of %d engines begun at idle %d have static within 3 deg", len(held), begun, narrow)
	}
}
