package flyweights

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
)

// Body names what an [Anchor] is fixed to: the [Plate], the [Cam] or a weight,
// see [OnWeight].
type Body int

const (
	// Plate is the drive plate, at rest in the rotating frame.
	Plate Body = iota
	// Cam is the cam or rotor, which turns by theta against the plate.
	Cam
	firstWeight
)

// OnWeight returns the body of weight i, counted from 0 as in
// [Mechanism.Weights].
func OnWeight(i int) Body { return firstWeight + Body(i) }

// weight returns the index of the weight that the body is, or a negative number
// if it is the plate or the cam.
func (b Body) weight() int { return int(b - firstWeight) }

// Anchor is a point of a body, given where it stands in the plate frame at rest
// (phi = 0), in m from the shaft axis. The zero value is the plate at the axis.
type Anchor struct {
	Body  Body
	Point r2.Vec
}

// pose is the mechanism at one swing, with what all parts need taken once.
type pose struct {
	phi, sin, cos float64 // swing of the weights
	theta, d1, d2 float64 // turn of the cam and its derivatives by phi
	cam           float64 // +1 for a counter-clockwise cam, -1 for a clockwise one
}

// pose returns the mechanism at swing phi (rad).
func (m *Mechanism) pose(phi float64) pose {
	p := pose{phi: phi, cam: plane.Sense(m.CamClockwise)}
	p.sin, p.cos = math.Sincos(phi)
	switch l := m.Linkage.(type) {
	case nil:
	case swinging:
		p.theta, p.d1, p.d2 = l.cam(p.sin, p.cos)
	default:
		p.theta, p.d1, p.d2 = l.Cam(phi)
	}
	return p
}

// place returns where an anchor is and its first and second derivative by phi.
// A body the mechanism does not have is taken for the plate; Check refuses it.
func (m *Mechanism) place(a *Anchor, p *pose) (at, d1, d2 r2.Vec) {
	i := a.Body.weight()
	switch {
	case a.Body == Cam:
		sin, cos := math.Sincos(p.theta)
		at = plane.Turn(a.Point, p.cam*sin, cos)
		q := plane.Quarter(at)
		k := p.cam * p.d1
		d1 = r2.Scale(k, q)
		d2 = r2.Sub(r2.Scale(p.cam*p.d2, q), r2.Scale(k*k, at))
	case i >= 0 && i < len(m.Weights):
		at, d1, d2 = m.Weights[i].carry(a.Point, p)
	default:
		at = a.Point
	}
	return at, d1, d2
}

// swinging is a linkage driven by a point of the weight. The mechanism takes the
// sine and cosine of the swing once for all its parts.
type swinging interface {
	cam(sin, cos float64) (theta, d1, d2 float64)
}
