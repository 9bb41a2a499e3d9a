package corpus

import (
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights/bodies"
)

func init() {
	register("bearing face", "bodies.Bearing.Moment", bearingFace)
}

// bearingFace finds what a face holds back, and the power it takes at a speed.
func bearingFace(g *Given) (Found, error) {
	b := bodies.Bearing{
		Inner:     g.SIOr("inner radius", quantity.DimLength, 0),
		Outer:     g.SI("outer radius", quantity.DimLength),
		HalfAngle: g.SIOr("half angle", quantity.DimAngle, 0),
	}
	mu, load, omega := g.Number("friction coefficient"), g.SI("load", quantity.DimForce), g.SI("speed", quantity.DimAngularSpeed)
	fresh, err := b.Moment(mu, load, bodies.New)
	if err != nil {
		return nil, err
	}
	worn, err := b.Moment(mu, load, bodies.Worn)
	power := quantity.Dim{Mass: 1, Length: 2, Time: -3}
	return Found{
		"moment, new":  SI(fresh, quantity.DimMoment),
		"moment, worn": SI(worn, quantity.DimMoment),
		"power, new":   SI(fresh*omega, power),
		"power, worn":  SI(worn*omega, power),
	}, err
}
