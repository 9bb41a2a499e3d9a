package flyweights

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Weight is a rigid plane body that swings about a pivot on the plate by the
// shared angle phi, or slides on the plate. The zero value is refused by
// [Mechanism.Check].
type Weight struct {
	Mass   float64 // kg, > 0, to 1e6
	Pivot  r2.Vec  // m in the plate frame; not used by a slider
	Centre r2.Vec  // m in the plate frame at rest: the centre of mass
	// Inertia is about the centre of mass, kg m^2, >= 0. It matters only in
	// motion: the static curve of a rigid plane body does not depend on it.
	Inertia float64
	// Clockwise is the sense of the swing phi >= 0 seen from above; false is
	// counter-clockwise.
	Clockwise bool
	// Slide, if not zero, makes the weight a slider that does not turn: it
	// moves by Slide times phi, so Slide has m per rad of phi.
	Slide r2.Vec
}

// slides reports whether the weight is a slider.
func (w *Weight) slides() bool { return w.Slide != (r2.Vec{}) }

// carry returns where a point of the weight, given at rest, is at a pose, and
// its derivatives by phi.
func (w *Weight) carry(point r2.Vec, p *pose) (at, d1, d2 r2.Vec) {
	if w.slides() {
		return r2.Add(point, r2.Scale(p.phi, w.Slide)), w.Slide, r2.Vec{}
	}
	s := plane.Sense(w.Clockwise)
	arm := plane.Turn(r2.Sub(point, w.Pivot), s*p.sin, p.cos)
	return r2.Add(w.Pivot, arm), r2.Scale(s, plane.Quarter(arm)), r2.Scale(-1, arm)
}

// moment returns 1/2 m dR^2/dphi of the weight and its derivative by phi. With
// R = |pivot + arm| only pivot·arm varies, as A cos phi + B sin phi.
func (w *Weight) moment(p *pose) (moment, slope float64) {
	if w.slides() {
		at := r2.Add(w.Centre, r2.Scale(p.phi, w.Slide))
		return w.Mass * r2.Dot(at, w.Slide), w.Mass * r2.Dot(w.Slide, w.Slide)
	}
	arm := r2.Sub(w.Centre, w.Pivot)
	a := r2.Dot(w.Pivot, arm)
	b := plane.Sense(w.Clockwise) * r2.Dot(w.Pivot, plane.Quarter(arm))
	return w.Mass * (b*p.cos - a*p.sin), -w.Mass * (a*p.cos + b*p.sin)
}

// Largest values of a mechanism, far beyond any distributor and far below what
// could overflow in a product.
const (
	maxMass   = 1e6 // kg, and kg m^2
	maxMoment = 1e9 // N m
)

// number is x, or 0 where it is none.
func number(x float64) float64 {
	if !valid.Finite(x) {
		return 0
	}
	return x
}

// check refuses what is not a weight; i is its index.
func (w *Weight) check(i int) error {
	name := func(what string) string { return fmt.Sprintf("weight %d %s", i+1, what) }
	switch {
	case !(w.Mass > 0 && w.Mass <= maxMass):
		return plane.Refuse(name("mass"), w.Mass, "kg", "more than 0, to 1e6 kg")
	case !(w.Inertia >= 0 && w.Inertia <= maxMass):
		return plane.Refuse(name("inertia"), w.Inertia, "kg m^2", "0 to 1e6 kg m^2")
	}
	for _, p := range [...]struct {
		what string
		at   *r2.Vec
	}{{"pivot", &w.Pivot}, {"centre", &w.Centre}, {"slide", &w.Slide}} {
		if !(math.Abs(p.at.X) <= plane.MaxLength && math.Abs(p.at.Y) <= plane.MaxLength) {
			return plane.CheckPoint(name(p.what), *p.at)
		}
	}
	return nil
}

// WeightMoment returns the moment of weight i on the swing per unit of squared
// speed, 1/2 m dR^2/dphi in kg m^2, at swing phi in rad: omega^2 times it is the
// moment in N m that drives the weights outwards. It is negative where the
// centre of mass moves inwards and 0 for a weight the mechanism does not have, or
// where it is no number.
func (m *Mechanism) WeightMoment(i int, phi float64) float64 {
	if m == nil || i < 0 || i >= len(m.Weights) {
		return 0
	}
	p := m.pose(phi)
	w, _ := m.Weights[i].moment(&p)
	return number(w)
}
