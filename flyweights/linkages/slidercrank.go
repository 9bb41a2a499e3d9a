package linkages

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// SliderCrank is a weight that slides out along a radial guide and turns the cam by a
// rod: a slider-crank. It goes with weights that have Slide set.
type SliderCrank struct {
	Rest  float64 // m, > 0: radius of the rod's pin on the slider at rest
	Slide float64 // m per rad of the swing coordinate, > 0: how far the slider moves
	Crank float64 // m, > 0: radius of the rod's pin on the cam
	Rod   float64 // m: length of the rod, between |Rest - Crank| and Rest + Crank
}

// Cam returns the turn of the crank as the slider moves out.
func (l SliderCrank) Cam(phi float64) (theta, d1, d2 float64) {
	// The angle between guide and crank at rest by the law of cosines.
	c := (l.Rest*l.Rest + l.Crank*l.Crank - l.Rod*l.Rod) / (2 * l.Rest * l.Crank)
	if !(c > -1 && c < 1) {
		return 0, 0, 0
	}
	pin := r2.Vec{X: l.Crank * c, Y: l.Crank * math.Sqrt(1-c*c)}
	k := crankOf(r2.Vec{X: l.Rest}, pin)
	theta, d1, d2 = k.turn(plane.Polar{Rho: l.Rest + l.Slide*phi, Rho1: l.Slide})
	return plane.Jam(plane.Forwards(k.slope(plane.Polar{Rho: l.Rest, Rho1: l.Slide}), theta, d1, d2))
}

// Fits refuses sizes that are not valid, a weight that does not slide by Slide for each rad of swing. Pivot
// and senses are not looked at.
func (l SliderCrank) Fits(_, slide r2.Vec, _, _ bool) error {
	if err := l.check(); err != nil {
		return err
	}
	return plane.CheckLength("slider-crank slide", l.Slide, "m/rad", r2.Norm(slide))
}

// Travel returns the swing from rest to the dead point.
func (l SliderCrank) Travel() (lo, hi float64) { return 0, plane.Range(l.Cam) }

// check refuses lengths that are not positive and a rod that does not reach.
func (l SliderCrank) check() error {
	for _, f := range []struct {
		name  string
		value float64
		unit  string
	}{{"rest radius", l.Rest, "m"}, {"slide", l.Slide, "m/rad"}, {"crank", l.Crank, "m"}, {"rod", l.Rod, "m"}} {
		if err := valid.Check(plane.ErrRange, valid.Above("slider-crank "+f.name, f.value, f.unit, 0, plane.MaxLength)); err != nil {
			return err
		}
	}
	_, slope, _ := l.Cam(0)
	return plane.CheckForwards("slider-crank", slope)
}
