// Package pair is the mechanism that several studies look at from their own
// sides: a scenario of our own with two weights half a turn apart, pins in radial
// slots of the cam, and two springs.
package pair

import (
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// New returns the mechanism: 30 g weights, a light spring that sets the start and
// a heavier one whose long loop lets it come in later.
func New() *flyweights.Mechanism {
	m := &flyweights.Mechanism{Stop: 0.1}
	laws := []springs.Spring{
		{Rate: 1800, FreeLength: 0.0182},
		{Rate: 3000, FreeLength: 0.0190, Slack: 0.0009},
	}
	for i, s := range []float64{1, -1} {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: 0.030, Pivot: r2.Vec{X: s * 0.025}, Centre: r2.Vec{X: s * 0.008, Y: s * -0.016}, Inertia: 4e-6,
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: laws[i],
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: s * -0.012, Y: s * -0.003}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Vec{Y: s * -0.018}},
		})
	}
	m.Linkage = flyweights.PinInSlot{Pivot: m.Weights[0].Pivot, Pin: r2.Vec{X: -0.004, Y: -0.008}}
	return m
}
