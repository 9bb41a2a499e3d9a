package corpus

import (
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights"
)

func init() {
	register("centrifugal force", "flyweights.Mechanism.WeightMoment", centrifugalForce)
}

// centrifugalForce is that of a weight free to slide outwards on its radius: its
// moment on a coordinate that counts metres of radius.
func centrifugalForce(g *Given) (Found, error) {
	m := flyweights.Mechanism{Weights: []flyweights.Weight{{
		Mass:   g.SI("mass", quantity.DimMass),
		Centre: r2.Vec{X: g.SI("radius", quantity.DimLength)},
		Slide:  r2.Vec{X: 1},
	}}}
	omega := g.SI("speed", quantity.DimAngularSpeed)
	return Found{"force": SI(omega*omega*m.WeightMoment(0, 0), quantity.DimForce)}, nil
}
