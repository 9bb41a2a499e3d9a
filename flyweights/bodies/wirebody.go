package bodies

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// WireBody returns the body of a thin wire that runs from a point in m along
// edges, with a mass per length in kg/m: a clip, a pin on its side, the hook of
// a spring. An arc of radius R and half sweep h has its centre R sin h/h from
// that of the circle, and the inertia m R^2 (1 - (sin h/h)^2) about it. A wire body
// of no length is refused, as are points and sweeps that [Outline.Section]
// would refuse.
func WireBody(from r2.Vec, edges []Edge, massPerLength float64) (Body, error) {
	if err := checkPositive("mass per length", massPerLength, "kg/m", maxDensity); err != nil {
		return Body{}, err
	}
	if err := Outline(append([]Edge{Line(from)}, edges...)).check(); err != nil {
		return Body{}, err
	}
	var sum Body
	for _, e := range edges {
		sum = sum.with(thread(from, e, massPerLength))
		from = e.To
	}
	return sum, checkPositive("mass of the wire body", sum.Mass, "kg", maxMass)
}

// thread is the body of one edge.
func thread(from r2.Vec, e Edge, massPerLength float64) Body {
	chord := r2.Sub(e.To, from)
	mid := r2.Scale(0.5, r2.Add(from, e.To))
	c := r2.Norm(chord)
	if math.Abs(e.Sweep) < 1e-150 || c == 0 {
		mass := massPerLength * c
		return Body{Mass: mass, Centre: mid, Inertia: mass * c * c / 12}
	}
	h := e.Sweep / 2
	sin, cos := math.Sincos(h)
	radius := c / (2 * math.Abs(sin))
	sinc := sin / h
	mass := massPerLength * radius * math.Abs(e.Sweep)
	// From the middle of the chord towards the arc: out to the right of the
	// chord for a counter-clockwise sweep.
	out := r2.Scale(1/c, r2.Vec{X: chord.Y, Y: -chord.X})
	rise := math.Copysign(radius*(sinc-cos), e.Sweep)
	return Body{
		Mass:    mass,
		Centre:  r2.Add(mid, r2.Scale(rise, out)),
		Inertia: mass * radius * radius * (1 - sinc*sinc),
	}
}
