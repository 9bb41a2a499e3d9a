package sensitivity

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/linkages"
)

// number is one number of the copied mechanism.
type number struct {
	name, unit string
	at         *float64
	value      float64
	linkage    bool // it changes the turn of the cam at a swing
}

// sizes are what a number of each unit comes to in a mechanism: the step of a
// difference is a share of it where the number itself is smaller.
var sizes = map[string]float64{
	"kg": 0.01, "m": 0.01, "m/rad": 0.005, "rad/m": 50, "rad/m^2": 3000,
	"N/m": 1000, "N": 1, "N m": 0.1, "rad": 0.1, "rad/rad": 1, "1": 0.1,
}

// step returns the step of a difference: it balances truncation, which
// Richardson's rule takes to the fourth power, against rounding.
func (n number) step() float64 { return 1e-4 * math.Max(math.Abs(n.value), sizes[n.unit]) }

// newStudy copies a mechanism and lists its numbers.
func newStudy(m *flyweights.Mechanism, u float64, dir flyweights.Direction) *study {
	own := *m
	own.Weights, own.Springs = slices.Clone(m.Weights), slices.Clone(m.Springs)
	x := &study{m: &own, u: u, against: 1}
	if dir == flyweights.Falling {
		x.against = -1
	}
	for i := range own.Weights {
		w, name := &own.Weights[i], fmt.Sprintf("weight %d ", i+1)
		x.add(name+"mass", "kg", &w.Mass)
		if w.Slide == (r2.Vec{}) {
			x.point(name+"pivot", "m", &w.Pivot)
		}
		x.point(name+"centre", "m", &w.Centre)
		if w.Slide != (r2.Vec{}) {
			x.point(name+"slide", "m/rad", &w.Slide)
		}
	}
	for i := range own.Springs {
		s, name := &own.Springs[i], fmt.Sprintf("spring %d ", i+1)
		x.add(name+"rate", "N/m", &s.Law.Rate)
		x.add(name+"free length", "m", &s.Law.FreeLength)
		x.add(name+"initial tension", "N", &s.Law.InitialTension)
		x.add(name+"slack", "m", &s.Law.Slack)
		x.point(name+"anchor A", "m", &s.A.Point)
		x.point(name+"anchor B", "m", &s.B.Point)
	}
	first := len(x.numbers)
	x.link()
	for i := first; i < len(x.numbers); i++ {
		x.numbers[i].linkage = true
	}
	x.add("drag", "N m", &own.Drag)
	x.add("friction moment", "N m", &own.Friction.Moment)
	x.add("friction proportion", "1", &own.Friction.Proportion)
	x.add("stop", "rad", &own.Stop)
	return x
}

func (x *study) add(name, unit string, at *float64) {
	x.numbers = append(x.numbers, number{name: name, unit: unit, at: at, value: *at})
}

func (x *study) point(name, unit string, v *r2.Vec) {
	x.add(name+" x", unit, &v.X)
	x.add(name+" y", unit, &v.Y)
}

// link puts a copy of the linkage into the mechanism and lists its numbers.
func (x *study) link() {
	switch l := x.m.Linkage.(type) {
	case flyweights.Ratio:
		x.m.Linkage = &l
		x.add("linkage ratio", "rad/rad", &l.K)
	case flyweights.PinInSlot:
		x.m.Linkage = &l
		x.point("slot linkage pivot", "m", &l.Pivot)
		x.point("slot linkage pin", "m", &l.Pin)
		x.add("slot linkage offset", "m", &l.Offset)
	case linkages.FourBar:
		x.m.Linkage = &l
		x.point("four-bar pivot", "m", &l.Pivot)
		x.point("four-bar joint", "m", &l.Joint)
		x.point("four-bar cam joint", "m", &l.CamJoint)
	case linkages.SliderCrank:
		x.m.Linkage = &l
		x.add("slider-crank rest radius", "m", &l.Rest)
		x.add("slider-crank slide", "m/rad", &l.Slide)
		x.add("slider-crank crank", "m", &l.Crank)
		x.add("slider-crank rod", "m", &l.Rod)
	case linkages.RollingCams:
		x.m.Linkage = &l
		x.add("rolling cams centre distance", "m", &l.Centres)
		x.add("rolling cams radius", "m", &l.Radius)
		x.add("rolling cams growth", "m/rad", &l.Growth)
	}
}
