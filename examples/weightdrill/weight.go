package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/bodies"
	"example.org/bobweight/springs"
)

// A weight of our own, drawn in mm at rest on the plate with the shaft axis at
// the origin: a steel kidney that hangs from its pivot on the right and reaches
// round the shaft below.
const (
	thickness = 10e-3 // m
	steel     = 7850  // kg/m^3, common practice, no source
)

func mm(x, y float64) r2.Vec { return r2.Vec{X: x / 1e3, Y: y / 1e3} }

var (
	pivot = mm(22, 0)
	swing = bodies.Swing{Pivot: pivot}
	// tip and root are where a drill may go: far from the line through axis and
	// pivot, and near it.
	tip, root = mm(1.5, -15.5), mm(19.5, -6)
)

// outline runs counter-clockwise from the outer side of the pivot.
func outline() bodies.Outline {
	return bodies.Outline{
		bodies.Line(mm(16.5, 0)),
		{To: mm(0, -11), Sweep: -1.4}, // inner flank, round the shaft
		{To: mm(-3, -19), Sweep: 2.2}, // tip
		{To: mm(27.5, 0), Sweep: 1.5}, // outer flank
		{To: mm(16.5, 0), Sweep: math.Pi},
	}
}

// body is the weight with holes of a diameter in m at places, drilled through.
func body(diameter float64, at ...r2.Vec) (bodies.Body, error) {
	holes := []bodies.Outline{bodies.Circle(pivot, 2.5e-3)}
	for _, p := range at {
		holes = append(holes, bodies.Circle(p, diameter/2))
	}
	return bodies.Plate(outline(), thickness, steel, holes...)
}

// variant is one way to have both weights.
type variant struct {
	name  string
	holes []r2.Vec
	body  bodies.Body
	// moment is the body's at rest, kg m^2.
	moment float64
	curve  *flyweights.Curve
}

// study is the hole to drill and what it does.
type study struct {
	diameter float64 // m
	variants []variant
}

// work finds the hole at the tip that takes an eighth off the weight's moment at
// rest, and drills the same hole at the root for comparison.
func work() (study, error) {
	whole, err := body(0)
	if err != nil {
		return study{}, err
	}
	moment, err := swing.Moment(whole, 0)
	if err != nil {
		return study{}, err
	}
	d, err := swing.DrillDiameter(bodies.Change{Body: whole, Moment: moment * 7 / 8, At: tip}, thickness, steel)
	if err != nil {
		return study{}, err
	}
	s := study{diameter: d}
	for _, v := range []variant{{name: "as made"}, {name: "drilled at the tip", holes: []r2.Vec{tip}}, {name: "the same hole at the root", holes: []r2.Vec{root}}} {
		if v.body, err = body(d, v.holes...); err != nil {
			return study{}, fmt.Errorf("%s: %w", v.name, err)
		}
		if v.moment, err = swing.Moment(v.body, 0); err != nil {
			return study{}, fmt.Errorf("%s: %w", v.name, err)
		}
		if v.curve, err = mechanism(v.body).Curve(nil); err != nil {
			return study{}, fmt.Errorf("%s: %w", v.name, err)
		}
		s.variants = append(s.variants, v)
	}
	return s, nil
}

// mechanism is a pair of such weights, half a turn apart, with a light spring
// each.
func mechanism(b bodies.Body) *flyweights.Mechanism {
	m := &flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.8}, Stop: 0.26}
	for i, s := range []float64{1, -1} {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: b.Mass, Pivot: r2.Scale(s, pivot), Centre: r2.Scale(s, b.Centre), Inertia: b.Inertia, Clockwise: swing.Clockwise,
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: 450, FreeLength: 0.0195, InitialTension: 0.6},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Scale(s, mm(-8, 8))},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Scale(s, mm(4, -8))},
		})
	}
	return m
}
