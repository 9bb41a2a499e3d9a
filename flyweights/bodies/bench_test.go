package bodies

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

var sink Body

func BenchmarkPlate(b *testing.B) {
	outline := kidney()
	hole := Circle(r2.Vec{X: 0.018, Y: 0.003}, 0.002)
	b.ReportAllocs()
	for i := range b.N {
		outline[0].To.X = 0.011 + 1e-6*float64(i%100)
		body, err := Plate(outline, 0.006, steel, hole)
		if err != nil {
			b.Fatal(err)
		}
		sink = body
	}
}
