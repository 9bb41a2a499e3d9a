package corpus

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/linkages"
	"example.org/bobweight/springs"
)

func init() {
	register("spring-held shoe", "flyweights.Mechanism.SpeedSquared of a slider", heldShoe)
	register("centrifugal clutch", "flyweights.Mechanism.WeightMoment and SpringMoment of a slider", clutch)
	register("four-bar", "linkages.FourBar.Cam", fourBar)
	register("slider-crank", "linkages.SliderCrank.Cam", sliderCrank)
}

// shoe is a mass that slides out on a radius, held by a spring that pulls with a
// force at rest: a weight that leaves its stop against preload. Its swing
// coordinate counts metres of radius.
func shoe(mass, radius, hold float64) *flyweights.Mechanism {
	return &flyweights.Mechanism{
		Weights: []flyweights.Weight{{Mass: mass, Centre: r2.Vec{X: radius}, Slide: r2.Vec{X: 1}}},
		Springs: []flyweights.Spring{{
			// Half a metre long and stretched by half of that, so that what counts is the force.
			Law: springs.Spring{Rate: hold / 0.25, FreeLength: 0.25},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: radius - 0.5}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{X: radius}},
		}},
		Linkage: flyweights.Ratio{K: 1},
		Stop:    1e-3,
	}
}

// heldShoe finds the speed at which a shoe begins to move out.
func heldShoe(g *Given) (Found, error) {
	m := shoe(g.SI("mass", dimMass), g.SI("radius", dimLength), g.SI("spring force", dimForce))
	if err := m.Check(); err != nil {
		return nil, err
	}
	squared, err := m.SpeedSquared(0)
	return Found{"speed": SI(math.Sqrt(squared), dimAngularSpeed)}, err
}

// clutch finds what shoes press and drag at full speed. The force on the drum is
// the weight's moment less the spring's, both the library's; torque and lining
// are the books' products of it. Without a mass the torque is given and the mass
// found, in proportion to that of a shoe of 1 kg.
func clutch(g *Given) (Found, error) {
	shoes, mu := g.Number("shoes"), g.Number("friction coefficient")
	drum, radius := g.SI("drum radius", dimLength), g.SI("radius", dimLength)
	omega := g.SI("speed", dimAngularSpeed)
	if g.Has("mass") {
		mass := g.SI("mass", dimMass)
		m := shoe(mass, radius, g.SI("spring force", dimForce))
		if err := m.Check(); err != nil {
			return nil, err
		}
		engaged, err := m.SpeedSquared(0)
		torque := shoes * mu * drum * (omega*omega*m.WeightMoment(0, 0) - m.SpringMoment(0, 0))
		return Found{
			"engagement speed": SI(math.Sqrt(engaged), dimAngularSpeed),
			"torque":           SI(torque, dimMoment),
			"power":            SI(torque*omega, quantity.Dim{Mass: 1, Length: 2, Time: -3}),
		}, err
	}
	engages := g.Number("engagement ratio") * omega
	torque := g.SI("power", quantity.Dim{Mass: 1, Length: 2, Time: -3}) / omega
	perShoe := torque / shoes
	press := perShoe / (mu * drum)
	one := shoe(1, radius, engages*engages*radius) // 1 kg, held so that it engages at the speed
	perMass := omega*omega*one.WeightMoment(0, 0) - one.SpringMoment(0, 0)
	arc := g.SI("lining arc", dimAngle) * drum
	return Found{
		"full speed":       SI(omega, dimAngularSpeed),
		"engagement speed": SI(engages, dimAngularSpeed),
		"torque":           SI(torque, dimMoment),
		"torque of a shoe": SI(perShoe, dimMoment),
		"mass":             SI(press/perMass, dimMass),
		"width":            SI(press/(g.SI("lining pressure", dimPressure)*arc), dimLength),
	}, nil
}

// fourBar finds the speed of the driven crank CD from that of AB. The joint C
// lies where the circles of link and crank cross, on the side of B.
func fourBar(g *Given) (Found, error) {
	ab, cd := g.SI("AB", dimLength), g.SI("CD", dimLength)
	bc, ad := g.SI("BC", dimLength), g.SI("AD", dimLength)
	angle, omega := g.SI("angle BAD", dimAngle), g.SI("speed", dimAngularSpeed)
	a := r2.Vec{X: ad} // D is the cam's axis
	b := r2.Add(a, r2.Vec{X: -ab * math.Cos(angle), Y: ab * math.Sin(angle)})
	db := r2.Norm(b)
	along := (cd*cd + db*db - bc*bc) / (2 * db)
	u := r2.Unit(b)
	c := r2.Add(r2.Scale(along, u), r2.Scale(math.Sqrt(cd*cd-along*along), r2.Vec{X: -u.Y, Y: u.X}))
	_, slope, _ := linkages.FourBar{Pivot: a, Joint: b, CamJoint: c}.Cam(0)
	return Found{
		"driven speed": SI(math.Abs(slope)*omega, dimAngularSpeed),
		"speed of C":   SI(math.Abs(slope)*omega*cd, dimSpeed),
	}, nil
}

// sliderCrank finds speed and acceleration of a slider from the library's turn
// of the crank as the slider moves: with d1 and d2 of theta by s, the derivatives
// of s by theta are 1/d1 and -d2/d1^3.
func sliderCrank(g *Given) (Found, error) {
	crank, rod := g.SI("crank", dimLength), g.SI("rod", dimLength)
	angle, omega := g.SI("angle", dimAngle), g.SI("speed", dimAngularSpeed)
	sin, cos := math.Sincos(angle)
	rest := crank*cos + math.Sqrt(rod*rod-crank*crank*sin*sin)
	_, d1, d2 := linkages.SliderCrank{Rest: rest, Slide: 1, Crank: crank, Rod: rod}.Cam(0)
	return Found{
		"slider speed":        SI(omega/math.Abs(d1), dimSpeed),
		"slider acceleration": SI(omega*omega*math.Abs(d2)/math.Abs(d1*d1*d1), quantity.Dim{Length: 1, Time: -2}),
	}, nil
}
