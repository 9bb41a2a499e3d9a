package readings_test

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings"
)

// Profile likelihood and bootstrap are two roads to an interval. Where start and
// stop are plain to see their half widths agree: to a third, which is what the
// profile's allowance for stated errors (Student's law), the bend's prior, rival
// models and 400 resamplings leave between them.
func TestBootstrapAgrees(t *testing.T) {
	c := truth{static: 10, travel: 24, start: 1300, allIn: 2700}
	var at []float64
	for n := 500.0; n <= 4000; n += 175 {
		at = append(at, n)
	}
	r := fit(t, c.take(rand.New(rand.NewPCG(31, 1)), 1, at...), nil)
	const seed = 7
	calls := 0
	b, err := r.Bootstrap(context.Background(), 400, seed, func(done, total int) { calls++ })
	if err != nil {
		t.Fatal(err)
	}
	if calls != 8 {
		t.Errorf("progress was called %d times, want 8", calls)
	}
	for name, pair := range map[string][2]readings.Estimate{
		"static": {r.Static, b.Static}, "total": {r.Total, b.Total}, "travel": {r.Travel, b.Travel},
		"start": {r.Start, b.Start}, "all-in": {r.AllIn, b.AllIn},
	} {
		p, q := pair[0], pair[1]
		if p.Bound != readings.Interval || q.Bound != readings.Interval {
			t.Errorf("%s: %v and %v, want intervals", name, p, q)
			continue
		}
		ratio := (q.High - q.Low) / (p.High - p.Low)
		t.Logf("%s: profile %.2f to %.2f, bootstrap %.2f to %.2f, ratio of widths %.2f", name, p.Low, p.High, q.Low, q.High, ratio)
		if !(math.Abs(ratio-1) <= 1.0/3) {
			t.Errorf("%s: bootstrap is %.2f times as wide as the profile", name, ratio)
		}
	}
	if _, err := r.Bootstrap(context.Background(), 3, seed, nil); !errors.Is(err, readings.ErrRange) {
		t.Errorf("three resamplings: got %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := r.Bootstrap(ctx, 100, seed, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}
