package trials

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
)

// With the parts listed as well as a calliper and a spring tester allow, start and
// all-in are known better and the intervals hold. With rates twice those of the list
// the list loses its say: the intervals hold as without it, and the finding says so.
func TestListed(t *testing.T) {
	engines := 100
	if testing.Short() {
		engines = 30
	}
	const seed = 5
	for _, c := range []struct {
		off         float64
		told        float64 // share of findings at most, or at least
		contradicts bool
	}{{1, 0.15, false}, {2, 0.4, true}} {
		held, of, told, narrower, both, fits := 0, 0, 0, 0, 0, 0
		for k := range engines {
			rng := rand.New(rand.NewPCG(seed, uint64(k)))
			e := draw(rng)
			s := e.take(rng, 12)
			curve, err := e.listed(rng, c.off)
			if err != nil {
				continue
			}
			listed, err := readings.Listed(curve, advance.FourStroke)
			if err != nil {
				continue // another error of measurement makes it jump
			}
			with, err := readings.Fit(context.Background(), s.Readings, &readings.Settings{Listed: &listed})
			if err != nil {
				t.Fatal(err)
			}
			without, err := readings.Fit(context.Background(), s.Readings, nil)
			if err != nil {
				t.Fatal(err)
			}
			fits++
			for _, q := range []struct {
				readings.Estimate
				was readings.Estimate
				is  float64
			}{
				{with.Start, without.Start, e.Start}, {with.AllIn, without.AllIn, e.AllIn},
				{with.Static, without.Static, e.Static}, {with.Total, without.Total, e.Static + e.Travel},
			} {
				of++
				if q.Covers(q.is) {
					held++
				}
				if q.Bound == readings.Interval && q.was.Bound == readings.Interval {
					both++
					if q.High-q.Low < q.was.High-q.was.Low {
						narrower++
					}
				}
			}
			for _, f := range readings.Diagnose(with, readings.Wanted{}) {
				if f.Code == "parts-contradict" {
					told++
				}
			}
		}
		rate := float64(held) / float64(of)
		t.Logf("rates %g times the list: %d fits, %.1f %% of %d estimates hold, %d of %d intervals narrower, told in %d", c.off, fits, 100*rate, of, narrower, both, told)
		if !(rate >= 0.93-2.5*math.Sqrt(0.05*0.95/float64(fits))) {
			t.Errorf("rates %g times the list: %.1f %% hold", c.off, 100*rate)
		}
		if share := float64(told) / float64(fits); c.contradicts && !(share >= c.told) || !c.contradicts && !(share <= c.told) {
			t.Errorf("rates %g times the list: told in %.0f %%", c.off, 100*share)
		}
		if !c.contradicts && !(float64(narrower) > 0.7*float64(both)) {
			t.Errorf("%d of %d intervals are narrower with the list", narrower, both)
		}
	}
}

// The family follows the mechanisms: with the start, the stop, the take-up and its two
// slopes taken from a mechanism's own curve and one number for the shape, it stays within
// half a degree of that curve in 95 of 100 distributors, of one stage and of two. One
// shape for both stages is enough.
func TestFamilyFollows(t *testing.T) {
	const engines = 200
	for _, two := range []bool{false, true} {
		far, of := 0, 0
		for k := range engines {
			e := draw(rand.New(rand.NewPCG(6, uint64(k))))
			if e.TwoStage != two {
				continue
			}
			c, err := readings.Listed(e.curve, drive)
			if err != nil {
				t.Fatalf("engine %d: %v", k, err)
			}
			at := c.Inverse()
			worst := 0.0
			for i := range 101 {
				n := e.Start + (e.AllIn-e.Start)*float64(i)/100
				worst = math.Max(worst, math.Abs(e.Static+e.Travel*at.Travelled(n)-e.advance(n)))
			}
			of++
			if !(worst <= 0.5) {
				far++
			}
		}
		t.Logf("two stages %v: %d of %d are farther than half a degree", two, far, of)
		if !(float64(far) <= 0.05*float64(of)) {
			t.Errorf("two stages %v: %d of %d are farther than half a degree", two, far, of)
		}
	}
}
