// Package plane holds the geometry that mechanism and linkages share: rotations,
// points that swing about a pivot, and the swing up to which a linkage turns the
// cam forwards.
package plane

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
)

// ErrRange is the sentinel of flyweights and of its linkages.
var ErrRange = valid.Sentinel("flyweights")

// FullSwing bounds every swing in rad: no weight turns by half a turn or more.
const FullSwing = math.Pi * (1 - 1e-9)

// Linkage is flyweights.Linkage for packages on which its tests depend.
type Linkage interface {
	Cam(phi float64) (theta, d1, d2 float64)
	Travel() (lo, hi float64)
}

// Refuse is the package's out-of-range sentence.
func Refuse(field string, value float64, unit, words string) error {
	return valid.Refuse(ErrRange, field, value, unit, words)
}

// Sense is the sign of a rotation: +1 counter-clockwise, -1 clockwise.
func Sense(clockwise bool) float64 {
	if clockwise {
		return -1
	}
	return 1
}

// Turn rotates v by the angle of the given sine and cosine.
func Turn(v r2.Vec, sin, cos float64) r2.Vec {
	return r2.Vec{X: v.X*cos - v.Y*sin, Y: v.X*sin + v.Y*cos}
}

// Quarter rotates v by a right angle counter-clockwise.
func Quarter(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

// Polar is a moving point in polar coordinates about the shaft axis: radius rho
// (m) and angle turned since rest (rad), with derivatives by phi.
type Polar struct {
	Rho, Rho1, Rho2       float64
	Angle, Angle1, Angle2 float64
}

// polarOf converts a point, its derivatives and its place at rest. A point on
// the axis has no angle and does not move in polar coordinates.
func polarOf(rest, at, d1, d2 r2.Vec) Polar {
	rho := math.Sqrt(at.X*at.X + at.Y*at.Y)
	if rho == 0 {
		return Polar{}
	}
	rho1 := r2.Dot(at, d1) / rho
	angle1 := r2.Cross(at, d1) / (rho * rho)
	return Polar{
		Rho:    rho,
		Rho1:   rho1,
		Rho2:   (r2.Dot(d1, d1) + r2.Dot(at, d2) - rho1*rho1) / rho,
		Angle:  math.Atan2(r2.Cross(rest, at), r2.Dot(rest, at)),
		Angle1: angle1,
		Angle2: r2.Cross(at, d2)/(rho*rho) - 2*angle1*rho1/rho,
	}
}

// Swung returns in polar coordinates a point that swings about a pivot by the
// angle of the given sine and cosine.
func Swung(pivot, point r2.Vec, clockwise bool, sin, cos float64) Polar {
	s := Sense(clockwise)
	arm := Turn(r2.Sub(point, pivot), s*sin, cos)
	return polarOf(point, r2.Add(pivot, arm), r2.Scale(s, Quarter(arm)), r2.Scale(-1, arm))
}

// Forwards gives the turn the sign that makes it rise from rest, whichever way
// round the linkage was drawn; slope is the signed slope at rest.
func Forwards(slope, theta, d1, d2 float64) (float64, float64, float64) {
	if slope < 0 {
		return -theta, -d1, -d2
	}
	return theta, d1, d2
}

// MaxLength in m bounds coordinates and lengths: far beyond any distributor, and
// far below what overflows in a product.
const MaxLength = 1e3

// CheckPoint refuses a point with a coordinate beyond [MaxLength].
func CheckPoint(field string, v r2.Vec) error {
	for _, x := range [2]float64{v.X, v.Y} {
		if !(math.Abs(x) <= MaxLength) {
			return Refuse(field, x, "m", "coordinates within 1000 m")
		}
	}
	return nil
}

// Jam returns a turn and its derivatives as they are, or none where one of them is
// no number: there the linkage jams.
func Jam(theta, d1, d2 float64) (float64, float64, float64) {
	if !valid.Finite(theta, d1, d2) {
		return 0, 0, 0
	}
	return theta, d1, d2
}

// rangeSteps is how finely the range of a linkage is looked for.
const rangeSteps = 512

// Range returns the swing up to which a linkage turns the cam forwards: the
// first phi at which its slope stops being positive, by scanning and bisection.
func Range(cam func(phi float64) (theta, d1, d2 float64)) float64 {
	forward := func(phi float64) bool {
		_, d1, _ := cam(phi)
		return d1 > 0
	}
	if !forward(0) {
		return 0
	}
	for i := 1; i <= rangeSteps; i++ {
		lo, hi := FullSwing*float64(i-1)/rangeSteps, FullSwing*float64(i)/rangeSteps
		if forward(hi) {
			continue
		}
		last, _, err := root.Edge(forward, lo, hi, 0)
		if err != nil {
			return lo
		}
		return last
	}
	return FullSwing
}

// CheckForwards refuses a linkage that does not turn the cam as the weights leave
// rest, given its slope there.
func CheckForwards(name string, slope float64) error {
	if !(slope > 0) || !valid.Finite(slope) {
		return Refuse(name+" slope at rest", slope, "rad/rad", "more than 0: the cam must turn as the weights leave rest")
	}
	return nil
}

// same is how far in m two statements of one length may lie apart.
const same = 1e-6

// CheckPivot refuses a linkage that states another pivot than the weight's.
func CheckPivot(name string, own, weight r2.Vec) error {
	if d := r2.Norm(r2.Sub(own, weight)); !(d <= same) {
		return Refuse(name+" pivot's distance from that of the weight", d, "m", "0: the pivot of a weight that drives the linkage")
	}
	return nil
}

// CheckLength refuses a linkage that states another length, in m or m/rad, than
// the weight's.
func CheckLength(name string, own float64, unit string, weight float64) error {
	if !(math.Abs(own-weight) <= same) {
		return Refuse(name, own, unit, fmt.Sprintf("%.6g %s, the weight's", weight, unit))
	}
	return nil
}

// CheckSense refuses a weight or cam said to turn the other way than the linkage
// has it.
func CheckSense(what string, mechanism, linkage bool) error {
	if mechanism != linkage {
		return fmt.Errorf("%w: %s clockwise is %t, valid is %t, the way the linkage has it", ErrRange, what, mechanism, linkage)
	}
	return nil
}

// Cubic is a polynomial c[0] + c[1] t + c[2] t^2 + c[3] t^3.
type Cubic [4]float64

// At returns the polynomial's value.
func (c *Cubic) At(t float64) float64 { return c[0] + t*(c[1]+t*(c[2]+t*c[3])) }

// Slope returns its derivative.
func (c *Cubic) Slope(t float64) float64 { return c[1] + t*(2*c[2]+t*3*c[3]) }

// Hermite returns the cubic on 0..1 with the given end values and slopes.
func Hermite(y0, y1, m0, m1 float64) Cubic {
	d := y1 - y0
	return Cubic{y0, m0, 3*d - 2*m0 - m1, m0 + m1 - 2*d}
}
