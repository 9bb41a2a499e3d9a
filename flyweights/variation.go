package flyweights

import (
	"fmt"

	"gonum.org/v1/gonum/num/hyperdual"
)

// hyper is a number with two infinitesimal directions: it carries a value, two
// first derivatives and the mixed second one exactly through a calculation.
type hyper = hyperdual.Number

func number(x float64) hyper  { return hyper{Real: x} }
func along1(x float64) hyper  { return hyper{Real: x, E1mag: 1} }
func along12(x float64) hyper { return hyper{Real: x, E1mag: 1, E2mag: 1} }

// named is a number of the mechanism.
type named struct {
	name, unit string
	value      float64
}

const stopName = "stop"

// variable is a linkage whose numbers can be varied.
type variable interface {
	// numbers lists them.
	numbers() []named
	// vary returns the turn at a swing with the numbers replaced by p.
	vary(phi hyper, p []hyper) hyper
}

// variation is a mechanism at a squared speed whose numbers, laid out in one
// list, can each be given an infinitesimal change.
type variation struct {
	m       *Mechanism
	u       float64
	against float64 // +1 if friction stands against the swing outwards
	numbers []named
	link    int // index of the linkage's first number
	tail    int // index of the drag, which friction and stop follow
	buffer  []hyper
}

// newVariation lists the mechanism's numbers: weights, springs, linkage, rest.
func newVariation(m *Mechanism, u float64, dir Direction) *variation {
	x := &variation{m: m, u: u, against: 1}
	if dir == Falling {
		x.against = -1
	}
	add := func(name, unit string, value float64) { x.numbers = append(x.numbers, named{name, unit, value}) }
	for i := range m.Weights {
		w, name := &m.Weights[i], fmt.Sprintf("weight %d ", i+1)
		add(name+"mass", "kg", w.Mass)
		add(name+"pivot x", "m", w.Pivot.X)
		add(name+"pivot y", "m", w.Pivot.Y)
		add(name+"centre x", "m", w.Centre.X)
		add(name+"centre y", "m", w.Centre.Y)
		add(name+"slide x", "m/rad", w.Slide.X)
		add(name+"slide y", "m/rad", w.Slide.Y)
	}
	for i := range m.Springs {
		s, name := &m.Springs[i], fmt.Sprintf("spring %d ", i+1)
		add(name+"rate", "N/m", s.Law.Rate)
		add(name+"free length", "m", s.Law.FreeLength)
		add(name+"initial tension", "N", s.Law.InitialTension)
		add(name+"slack", "m", s.Law.Slack)
		add(name+"anchor A x", "m", s.A.Point.X)
		add(name+"anchor A y", "m", s.A.Point.Y)
		add(name+"anchor B x", "m", s.B.Point.X)
		add(name+"anchor B y", "m", s.B.Point.Y)
	}
	x.link = len(x.numbers)
	if l, ok := m.Linkage.(variable); ok {
		x.numbers = append(x.numbers, l.numbers()...)
	}
	x.tail = len(x.numbers)
	add("drag", "N m", m.Drag)
	add("friction moment", "N m", m.Friction.Moment)
	add("friction proportion", "1", m.Friction.Proportion)
	add(stopName, "rad", m.Stop)
	x.buffer = make([]hyper, len(x.numbers))
	return x
}

const (
	perWeight = 7
	perSpring = 8
)

// with returns the numbers with a unit change of number i along the second
// direction, or none for i = -1. The list is overwritten by the next call.
func (x *variation) with(i int) []hyper {
	for k, n := range x.numbers {
		x.buffer[k] = number(n.value)
	}
	if i >= 0 {
		x.buffer[i].E2mag = 1
	}
	return x.buffer
}

// tail holds the numbers after the linkage's.
type tail struct{ drag, friction, proportion hyper }

func (x *variation) fields(p []hyper) tail {
	return tail{p[x.tail], p[x.tail+1], p[x.tail+2]}
}

// cam returns the turn of the cam at a swing. A linkage that cannot be varied,
// a measured one say, is carried by its own derivatives.
func (x *variation) cam(p []hyper, phi hyper) hyper {
	if l, ok := x.m.Linkage.(variable); ok {
		return l.vary(phi, p[x.link:x.tail])
	}
	theta, d1, d2 := x.m.Linkage.Cam(phi.Real)
	return hyper{
		Real: theta, E1mag: d1 * phi.E1mag, E2mag: d1 * phi.E2mag,
		E1E2mag: d1*phi.E1E2mag + d2*phi.E1mag*phi.E2mag,
	}
}

// place returns where a point given at rest has come to.
func (x *variation) place(p []hyper, body Body, at point2, phi, theta hyper) point2 {
	i := body.weight()
	switch {
	case body == Plate:
		return at
	case body == Cam:
		return at.turned(hyperdual.Scale(sense(x.m.CamClockwise), theta))
	case x.m.Weights[i].slides():
		w := p[perWeight*i:]
		return at.plus(point2{hyperdual.Mul(phi, w[5]), hyperdual.Mul(phi, w[6])})
	}
	w := p[perWeight*i:]
	pivot := point2{w[1], w[2]}
	return pivot.plus(at.minus(pivot).turned(hyperdual.Scale(sense(x.m.Weights[i].Clockwise), phi)))
}

// over returns by how much a spring is longer than its take-up length.
func (x *variation) over(p []hyper, phi hyper, i int) hyper {
	theta := x.cam(p, phi)
	s := p[perWeight*len(x.m.Weights)+perSpring*i:]
	a := x.place(p, x.m.Springs[i].A.Body, point2{s[4], s[5]}, phi, theta)
	b := x.place(p, x.m.Springs[i].B.Body, point2{s[6], s[7]}, phi, theta)
	return hyperdual.Sub(b.minus(a).norm(), hyperdual.Add(s[1], s[3]))
}

// potentials returns 1/2 u sum m R^2, the energy of the springs and drag times
// turn.
func (x *variation) potentials(p []hyper, phi hyper) (weights, springs, drag hyper) {
	theta := x.cam(p, phi)
	for i := range x.m.Weights {
		w := p[perWeight*i:]
		at := x.place(p, OnWeight(i), point2{w[3], w[4]}, phi, theta)
		weights = hyperdual.Add(weights, hyperdual.Scale(x.u/2, hyperdual.Mul(w[0], at.square())))
	}
	for i := range x.m.Springs {
		s := p[perWeight*len(x.m.Weights)+perSpring*i:]
		over := x.over(p, phi, i)
		if over.Real > 0 {
			pull := hyperdual.Add(s[2], hyperdual.Scale(0.5, hyperdual.Mul(s[0], over)))
			springs = hyperdual.Add(springs, hyperdual.Mul(pull, over))
		}
	}
	return weights, springs, hyperdual.Mul(x.fields(p).drag, theta)
}

// point2 is a point of the plane with hyper coordinates.
type point2 struct{ x, y hyper }

func (a point2) plus(b point2) point2 {
	return point2{hyperdual.Add(a.x, b.x), hyperdual.Add(a.y, b.y)}
}
func (a point2) minus(b point2) point2 {
	return point2{hyperdual.Sub(a.x, b.x), hyperdual.Sub(a.y, b.y)}
}
func (a point2) dot(b point2) hyper {
	return hyperdual.Add(hyperdual.Mul(a.x, b.x), hyperdual.Mul(a.y, b.y))
}
func (a point2) cross(b point2) hyper {
	return hyperdual.Sub(hyperdual.Mul(a.x, b.y), hyperdual.Mul(a.y, b.x))
}
func (a point2) square() hyper { return a.dot(a) }
func (a point2) norm() hyper   { return hyperdual.Sqrt(a.square()) }

// turned rotates the point about the origin.
func (a point2) turned(angle hyper) point2 {
	sin, cos := straight(hyperdual.Sin, angle), hyperdual.Cos(angle)
	return point2{
		hyperdual.Sub(hyperdual.Mul(a.x, cos), hyperdual.Mul(a.y, sin)),
		hyperdual.Add(hyperdual.Mul(a.x, sin), hyperdual.Mul(a.y, cos)),
	}
}

// angle returns the angle from a to b: with both at radius 1 it is
// 2 arctan sin/(1 + cos).
func (a point2) angle(b point2) hyper {
	den := hyperdual.Add(a.dot(b), hyperdual.Mul(a.norm(), b.norm()))
	return hyperdual.Scale(2, straight(hyperdual.Atan, hyperdual.Mul(a.cross(b), hyperdual.Inv(den))))
}

// straight applies sine, arcsine or arctangent, which are x near 0 to second
// order. Those of gonum v0.17 lose the mixed derivative at exactly 0.
func straight(f func(hyper) hyper, d hyper) hyper {
	if d.Real == 0 {
		return d
	}
	return f(d)
}
