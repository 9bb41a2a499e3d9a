package corpus

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

func init() {
	register("centrifugal force", "flyweights.Mechanism.WeightMoment", centrifugalForce)
	register("mass on a revolving spring", "flyweights.Mechanism.Curve, flyweights.Curve.Theta of a slider", revolvingSpring)
	register("energy of a spring", "springs.Spring.Energy", springEnergy)
}

// centrifugalForce is that of a weight free to slide outwards on its radius: its
// moment on a coordinate that counts metres of radius. The speed is given as such,
// by the time of a turn, by the speed on the circle, or found from a force.
func centrifugalForce(g *Given) (Found, error) {
	mass := 1.0 // kg, where only the acceleration is asked for
	switch {
	case g.Has("weight"):
		mass = g.SI("weight", dimForce) / g.SI("gravity", quantity.Dim{Length: 1, Time: -2})
	case g.Has("mass"):
		mass = g.SI("mass", dimMass)
	}
	radius := g.SI("radius", dimLength)
	m := flyweights.Mechanism{Weights: []flyweights.Weight{{Mass: mass, Centre: r2.Vec{X: radius}, Slide: r2.Vec{X: 1}}}}
	perSquare := m.WeightMoment(0, 0)
	var omega float64
	switch {
	case g.Has("force"):
		omega = math.Sqrt(g.SI("force", dimForce) / perSquare)
	case g.Has("time of a turn"):
		omega = 2 * math.Pi / g.SI("time of a turn", dimTime)
	case g.Has("speed on the circle"):
		omega = g.SI("speed on the circle", dimSpeed) / radius
	default:
		omega = g.SI("speed", dimAngularSpeed)
	}
	force := omega * omega * perSquare
	if g.Has("gravity") && !g.Has("weight") { // at the lowest point of a hollow road
		return Found{"force with the weight": SI(force+mass*g.SI("gravity", quantity.Dim{Length: 1, Time: -2}), dimForce)}, nil
	}
	return Found{
		"force": SI(force, dimForce), "acceleration": SI(force/mass, quantity.Dim{Length: 1, Time: -2}),
		"speed on the circle": SI(omega*radius, dimSpeed),
	}, nil
}

// revolvingSpring is a mass on a spring whose other end is on the axis: the bob
// weight in its simplest form.
func revolvingSpring(g *Given) (Found, error) {
	rest := g.SI("free length", dimLength)
	m := flyweights.Mechanism{
		Weights: []flyweights.Weight{{Mass: g.SI("mass", dimMass), Centre: r2.Vec{X: rest}, Slide: r2.Vec{X: 1}}},
		Springs: []flyweights.Spring{{
			Law: springs.Spring{Rate: g.SI("rate", dimStiffness), FreeLength: rest},
			A:   flyweights.Anchor{Body: flyweights.Plate},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{X: rest}},
		}},
		Linkage: flyweights.Ratio{K: 1},
		Stop:    rest,
	}
	c, err := m.Curve(nil)
	if err != nil {
		return nil, err
	}
	return Found{"elongation": SI(c.Theta(g.SI("speed", dimAngularSpeed), flyweights.Rising), dimLength)}, nil
}

// springEnergy is what a spring holds at a deflection, and the deflection that
// takes up the energy of a fall or of a speed; a spring's energy goes with the square.
func springEnergy(g *Given) (Found, error) {
	s := springs.Spring{Rate: g.SI("rate", dimStiffness), FreeLength: 1}
	if g.Has("deflection") {
		e := s.Energy(1 + g.SI("deflection", dimLength))
		return Found{"energy": SI(e, dimMoment)}, nil
	}
	mass := g.SI("mass", dimMass)
	var energy float64
	if g.Has("fall") {
		energy = mass * g.SI("gravity", quantity.Dim{Length: 1, Time: -2}) * g.SI("fall", dimLength)
	} else {
		v := g.SI("speed", dimSpeed)
		energy = mass * v * v / 2
	}
	metre := s.Energy(2)
	return Found{"deflection": SI(math.Sqrt(energy/metre), dimLength)}, nil
}
