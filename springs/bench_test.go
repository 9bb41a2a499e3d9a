package springs_test

import (
	"testing"

	"example.org/bobweight/springs"
)

var sinkFloat float64

func BenchmarkTension(b *testing.B) {
	b.ReportAllocs()
	var sum float64
	for i := range b.N {
		sum += demo.Tension(0.019 + 1e-5*float64(i&511))
	}
	sinkFloat = sum
}

var sinkMeasured *springs.Measured

func BenchmarkMeasure(b *testing.B) {
	rs := readings(springs.Spring{Rate: 980, FreeLength: 0.0187, InitialTension: 1.9}, 6e-5, 0.04, 0.0198, 0.0211, 0.0222, 0.0241, 0.0259)
	b.ReportAllocs()
	for i := range b.N {
		rs[2].Load += 1e-4 * float64(2*(i&1)-1)
		m, err := springs.Measure(rs, 0.0187, 5e-5)
		if err != nil {
			b.Fatal(err)
		}
		sinkMeasured = m
	}
}
