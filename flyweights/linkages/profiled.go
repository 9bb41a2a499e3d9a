package linkages

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"
	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
)

// profileSteps is how finely the swing is divided between rest and the end of a
// measured profile.
const profileSteps = 64

// NewProfiled returns the linkage of a roller or pin on the weight that rolls or
// slides on a flank or in a slot of the cam, the path measured: it leads the
// roller's centre through the points (radius, angle) on the cam, in m from the
// shaft axis and in rad, counter-clockwise positive. The weight's pivot and the
// roller's centre at rest are in m in the plate frame; the first point is where
// the roller is at rest, at the angle 0. Three points or more, whose radii rise
// strictly or fall strictly as the weight swings out. Between the points the
// angle is the monotone cubic of [NewTabulated]. The turn of the cam is
//
//	theta = angle turned by the roller - angle of the path at its radius
//
// It ends where the roller comes to the last point, and is
// refused where the cam does not turn forwards all the way.
func NewProfiled(pivot, roller r2.Vec, clockwise bool, radius, angle []float64) (plane.Linkage, error) {
	if err := checkProfile(pivot, roller, radius, angle); err != nil {
		return nil, err
	}
	sign := math.Copysign(1, radius[1]-radius[0])
	n := len(radius)
	x, y := make([]float64, n), make([]float64, n)
	for i := range radius {
		x[i], y[i] = sign*(radius[i]-radius[0]), angle[i]
	}
	var path interp.FritschButland
	if err := path.Fit(x, y); err != nil {
		return nil, fmt.Errorf("%w: measured profile: %w", plane.ErrRange, err)
	}
	at := func(phi float64) plane.Polar {
		sin, cos := math.Sincos(phi)
		return plane.Swung(pivot, roller, clockwise, sin, cos)
	}
	out := func(phi float64) float64 { return sign * (at(phi).Rho - radius[0]) }
	end, err := profileEnd(out, x[n-1])
	if err != nil {
		return nil, err
	}
	phi, theta := make([]float64, profileSteps+1), make([]float64, profileSteps+1)
	for i := 1; i <= profileSteps; i++ {
		phi[i] = end * float64(i) / profileSteps
		theta[i] = at(phi[i]).Angle - path.Predict(math.Min(math.Max(out(phi[i]), 0), x[n-1]))
	}
	if theta[1] < 0 { // a cam that turns clockwise
		for i := range theta {
			theta[i] = -theta[i]
		}
	}
	return NewTabulated(phi, theta)
}

func checkProfile(pivot, roller r2.Vec, radius, angle []float64) error {
	if err := plane.CheckPoint("profile pivot", pivot); err != nil {
		return err
	}
	if err := plane.CheckPoint("profile roller", roller); err != nil {
		return err
	}
	if len(radius) != len(angle) || len(radius) < 3 {
		return fmt.Errorf("%w: measured profile has %d radii and %d angles, valid is as many of each, 3 or more", plane.ErrRange, len(radius), len(angle))
	}
	for i := range radius {
		if err := valid.Check(plane.ErrRange, valid.Above(fmt.Sprintf("profile radius %d", i+1), radius[i], "m", 0, 1e3),
			valid.In(fmt.Sprintf("profile angle %d", i+1), angle[i], "rad", -math.Pi, math.Pi)); err != nil {
			return err
		}
		if i > 1 && !((radius[i]-radius[i-1])*(radius[1]-radius[0]) > 0) {
			return plane.Refuse(fmt.Sprintf("profile radius %d", i+1), radius[i], "m", "further on than the one before")
		}
	}
	if radius[1] == radius[0] {
		return plane.Refuse("profile radius 2", radius[1], "m", "another than the first")
	}
	if rest := r2.Norm(roller); !(math.Abs(rest-radius[0]) <= 1e-4*rest) || angle[0] != 0 {
		return plane.Refuse("profile at rest", radius[0], "m", fmt.Sprintf("%.6g m, the roller's own radius, at the angle 0", rest))
	}
	return nil
}

// profileEnd returns the swing at which the roller comes to the last point, a way
// most out from the first.
func profileEnd(out func(phi float64) float64, most float64) (float64, error) {
	before := 0.0
	for i := 1; i <= 512; i++ {
		phi := plane.FullSwing * float64(i) / 512
		if out(phi) < most {
			if !(out(phi) > out(before)) {
				break // the roller turns back first
			}
			before = phi
			continue
		}
		last, _, err := root.Edge(func(phi float64) bool { return out(phi) < most }, before, phi, 0)
		if err != nil {
			return 0, fmt.Errorf("%w: measured profile: %w", plane.ErrRange, err)
		}
		return last, nil
	}
	return 0, plane.Refuse("last point of the profile", most, "m from the first", "one that the roller reaches as the weight swings out")
}
