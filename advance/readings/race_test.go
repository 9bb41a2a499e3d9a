package readings_test

import (
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"example.org/bobweight/advance/readings"
)

// Several goroutines get the same answers from one Result as one does alone.
func TestResultConcurrently(t *testing.T) {
	r := fit(t, truth{10, 24, 1080, 2850}.take(rand.New(rand.NewPCG(1, 1)), 1, speeds...), nil)
	want, err := r.Band(1700)
	if err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 5 {
				if got, err := r.Band(1700); err != nil || got != want {
					t.Errorf("band %v, %v; alone %v", got, err, want)
				}
				if _, err := r.Expect(readings.Change{Springs: 1.2}, []float64{900, 1700}); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
}

// The intervals are shared out to the processors; how many there are changes no bit.
func TestProcessorsDoNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 1))
	for k := range 6 {
		set := truth{8 + 6*rng.Float64(), 20 + 8*rng.Float64(), 800 + 400*rng.Float64(), 2400 + 800*rng.Float64()}.take(rng, 1, speeds...)
		one := runtime.GOMAXPROCS(1)
		alone := fit(t, set, nil)
		runtime.GOMAXPROCS(4)
		shared := fit(t, set, nil)
		runtime.GOMAXPROCS(one)
		same := func(what string, a, b readings.Estimate) {
			if a != b {
				t.Errorf("set %d, %s: one processor %v, four %v", k, what, a, b)
			}
		}
		same("static timing", alone.Static, shared.Static)
		same("start", alone.Start, shared.Start)
		same("all-in", alone.AllIn, shared.AllIn)
		same("travel", alone.Travel, shared.Travel)
		same("total", alone.Total, shared.Total)
		for i := range alone.Slopes {
			same("slope", alone.Slopes[i], shared.Slopes[i])
		}
		for i := range alone.Knees {
			same("knee", alone.Knees[i], shared.Knees[i])
		}
	}
}
