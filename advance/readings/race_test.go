package readings_test

import (
	"math/rand/v2"
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
