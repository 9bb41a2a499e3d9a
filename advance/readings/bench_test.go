package readings_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings"
)

var sink float64

// A fit of twelve readings with all its intervals, over eight sets of readings
// with a visible start and stop and with blunders, is to take less than 5 ms.
func BenchmarkFit12(b *testing.B) {
	rng := rand.New(rand.NewPCG(21, 0))
	sets := make([][]readings.Reading, 8)
	for i := range sets {
		c := truth{8 + 6*rng.Float64(), 20 + 8*rng.Float64(), 800 + 400*rng.Float64(), 2400 + 800*rng.Float64()}
		sets[i] = c.take(rng, 1, speeds...)
		if i%4 == 3 {
			sets[i][rng.IntN(len(speeds))].Degrees += 12
		}
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r, err := readings.Fit(context.Background(), sets[i%len(sets)], nil)
		if err != nil {
			b.Fatal(err)
		}
		sink += r.Total.High
	}
}

// One more point of the band, as a plot needs it.
func BenchmarkBand(b *testing.B) {
	r, err := readings.Fit(context.Background(), truth{10, 24, 1080, 2850}.take(rand.New(rand.NewPCG(1, 1)), 1, speeds...), nil)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		e, err := r.Band(700 + float64(i%3000))
		if err != nil {
			b.Fatal(err)
		}
		sink += e.High
	}
}
