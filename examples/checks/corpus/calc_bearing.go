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
		Inner:     g.SIOr("inner radius", dimLength, 0),
		Outer:     g.SI("outer radius", dimLength),
		HalfAngle: g.SIOr("half angle", dimAngle, 0),
	}
	mu, load, omega := g.Number("friction coefficient"), g.SI("load", dimForce), g.SI("speed", dimAngularSpeed)
	fresh, err := b.Moment(mu, load)
	if err != nil {
		return nil, err
	}
	b.Worn = true
	worn, err := b.Moment(mu, load)
	power := quantity.Dim{Mass: 1, Length: 2, Time: -3}
	return Found{
		"moment, new":  SI(fresh, dimMoment),
		"moment, worn": SI(worn, dimMoment),
		"power, new":   SI(fresh*omega, power),
		"power, worn":  SI(worn*omega, power),
	}, err
}
