package flyweights

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// fullSwing bounds every swing: no weight turns by half a turn or more.
	fullSwing = math.Pi * (1 - 1e-9)
	// reachSteps is how finely the reach of a linkage is looked for.
	reachSteps = 512
)

// reach returns the swing up to which a linkage turns the cam forwards: the
// first phi at which its slope stops being positive, by scanning and bisection.
func reach(l Linkage) float64 {
	forward := func(phi float64) bool {
		_, d1, _ := l.Cam(phi)
		return d1 > 0
	}
	if !forward(0) {
		return 0
	}
	for i := 1; i <= reachSteps; i++ {
		lo, hi := fullSwing*float64(i-1)/reachSteps, fullSwing*float64(i)/reachSteps
		if forward(hi) {
			continue
		}
		for range 60 {
			if mid := (lo + hi) / 2; forward(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	return fullSwing
}

// polar is a moving point in polar coordinates about the shaft axis: radius rho
// (m) and angle turned since rest (rad), with derivatives by phi.
type polar struct {
	rho, rho1, rho2       float64
	angle, angle1, angle2 float64
}

// polarOf converts a point, its derivatives and its place at rest. A point on
// the axis has no angle and does not move in polar coordinates.
func polarOf(rest, at, d1, d2 r2.Vec) polar {
	rho := math.Sqrt(at.X*at.X + at.Y*at.Y)
	if rho == 0 {
		return polar{}
	}
	rho1 := r2.Dot(at, d1) / rho
	angle1 := r2.Cross(at, d1) / (rho * rho)
	return polar{
		rho:    rho,
		rho1:   rho1,
		rho2:   (r2.Dot(d1, d1) + r2.Dot(at, d2) - rho1*rho1) / rho,
		angle:  math.Atan2(r2.Cross(rest, at), r2.Dot(rest, at)),
		angle1: angle1,
		angle2: r2.Cross(at, d2)/(rho*rho) - 2*angle1*rho1/rho,
	}
}

// swung returns in polar coordinates a point that swings about a pivot by the
// angle of the given sine and cosine.
func swung(pivot, point r2.Vec, clockwise bool, sin, cos float64) polar {
	s := sense(clockwise)
	arm := turn(r2.Sub(point, pivot), s*sin, cos)
	return polarOf(point, r2.Add(pivot, arm), r2.Scale(s, quarter(arm)), r2.Scale(-1, arm))
}

// forwards gives the turn the sign that makes it rise from rest, whichever way
// round the linkage was drawn; slope is the signed slope at rest.
func forwards(slope, theta, d1, d2 float64) (float64, float64, float64) {
	if slope < 0 {
		return -theta, -d1, -d2
	}
	return theta, d1, d2
}

// checkVec refuses a point that is not finite.
func checkVec(field string, v r2.Vec) error {
	if !finite(v.X, v.Y) {
		return outOfRange(field, v.X+v.Y, "m", "finite coordinates")
	}
	return nil
}

// checkReach refuses a linkage that cannot leave its rest position.
func checkReach(name string, l Linkage) error {
	if _, hi := l.Travel(); !(hi > 0) {
		return outOfRange(name+" travel", hi, "rad", "more than 0: the cam must turn as the weights leave rest")
	}
	return nil
}

// swinging is a linkage driven by a point of the weight. The mechanism takes the
// sine and cosine of the swing once for all its parts.
type swinging interface {
	cam(sin, cos float64) (theta, d1, d2 float64)
}
