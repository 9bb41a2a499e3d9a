package readings_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/readings"
)

var sink float64

// A fit of twelve readings with all its intervals is to take less than 5 ms for each
// of eight sets of readings with a visible start and stop, two of them with an outlier.
func BenchmarkFit12(b *testing.B) {
	rng := rand.New(rand.NewPCG(21, 0))
	for i := range 8 {
		c := truth{8 + 6*rng.Float64(), 20 + 8*rng.Float64(), 800 + 400*rng.Float64(), 2400 + 800*rng.Float64()}
		set := c.take(rng, 1, speeds...)
		if i%4 == 3 {
			set[rng.IntN(len(speeds))].Degrees += 12
		}
		b.Run(fmt.Sprint(i), func(b *testing.B) { benchmarkFit(b, set) })
	}
}

// A log of many readings takes longer in proportion.
func BenchmarkFit480(b *testing.B) {
	var at []float64
	for k := range 480 {
		at = append(at, 600+3400*float64(k)/480)
	}
	benchmarkFit(b, truth{10, 24, 1080, 2850}.take(rand.New(rand.NewPCG(2, 2)), 1, at...))
}

func benchmarkFit(b *testing.B, rs []readings.Reading) {
	b.ReportAllocs()
	for b.Loop() {
		r, err := readings.Fit(context.Background(), rs, nil)
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
