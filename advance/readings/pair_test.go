package readings

import (
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// Pair is a mechanism of our own for the tests: two equal weights with toothed heels,
// a spring to each, dimensions in m at rest.
func Pair() *flyweights.Mechanism {
	weight := flyweights.Weight{Mass: 0.030, Pivot: r2.Vec{X: 0.025}, Centre: r2.Vec{X: 0.008, Y: -0.016}}
	opposite := weight
	opposite.Pivot, opposite.Centre = r2.Scale(-1, weight.Pivot), r2.Scale(-1, weight.Centre)
	post, hook := r2.Vec{X: -0.012, Y: -0.003}, r2.Vec{Y: -0.018}
	law := springs.Spring{Rate: 2600, FreeLength: 0.0178}
	return &flyweights.Mechanism{
		Weights: []flyweights.Weight{weight, opposite},
		Springs: []flyweights.Spring{
			{Law: law, A: flyweights.Anchor{Body: flyweights.Plate, Point: post}, B: flyweights.Anchor{Body: flyweights.OnWeight(0), Point: hook}},
			{Law: law, A: flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(-1, post)}, B: flyweights.Anchor{Body: flyweights.OnWeight(1), Point: r2.Scale(-1, hook)}},
		},
		Linkage: flyweights.Ratio{K: 1.2},
		Stop:    0.17,
	}
}
