package flyweights

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/flyweights/internal/plane"
)

// PinInSlot is a pin on the weight in a straight slot of the cam plate. The
// slot's centre line passes the shaft axis at the distance Offset; a radial slot
// has none.
type PinInSlot struct {
	Pivot, Pin r2.Vec  // m in the plate frame at rest
	Clockwise  bool    // sense of the weight's swing
	Offset     float64 // m, signed: positive if the axis lies to the left of the line outwards
}

// Cam returns the turn of the slot that follows the pin. The line at distance e
// from the axis through the pin at radius rho has the direction
// angle + asin(e/rho). Where the pin cannot reach the line the linkage jams:
// both derivatives are 0.
func (l PinInSlot) Cam(phi float64) (theta, d1, d2 float64) {
	return plane.Jam(l.cam(math.Sincos(phi)))
}

func (l PinInSlot) cam(sin, cos float64) (theta, d1, d2 float64) {
	q := plane.Swung(l.Pivot, l.Pin, l.Clockwise, sin, cos)
	if l.Offset == 0 {
		return plane.Forwards(l.slope(), q.Angle, q.Angle1, q.Angle2)
	}
	e, rest := l.Offset, math.Hypot(l.Pin.X, l.Pin.Y)
	k := math.Sqrt(q.Rho*q.Rho - e*e)
	if !(k > 0) || !(math.Abs(e) < rest) {
		return 0, 0, 0
	}
	return plane.Forwards(l.slope(),
		q.Angle+math.Asin(e/q.Rho)-math.Asin(e/rest),
		q.Angle1-e*q.Rho1/(q.Rho*k),
		q.Angle2-e*(q.Rho2/(q.Rho*k)-q.Rho1*q.Rho1*(2*q.Rho*q.Rho-e*e)/(q.Rho*q.Rho*k*k*k)))
}

// slope returns dtheta/dphi at rest, counter-clockwise positive.
func (l PinInSlot) slope() float64 {
	velocity := r2.Scale(plane.Sense(l.Clockwise), plane.Quarter(r2.Sub(l.Pin, l.Pivot)))
	square := r2.Norm2(l.Pin)
	if square == 0 {
		return 0
	}
	slope := r2.Cross(l.Pin, velocity) / square
	if e := l.Offset; e != 0 {
		slope -= e * r2.Dot(l.Pin, velocity) / (square * math.Sqrt(square-e*e))
	}
	return slope
}

// TurnsClockwise reports the sense in which the weight turns the cam.
func (l PinInSlot) TurnsClockwise() bool { return l.slope() < 0 }

// Fits refuses a linkage whose own sizes are not valid, and a weight that cannot drive
// it: one with another pivot or sense, or a cam said to turn the other way. The pivots
// may lie a micrometre apart. A slide is not looked at.
func (l PinInSlot) Fits(pivot, _ r2.Vec, clockwise, camClockwise bool) error {
	if err := l.check(); err != nil {
		return err
	}
	if err := plane.CheckPivot("slot linkage", l.Pivot, pivot); err != nil {
		return err
	}
	if err := plane.CheckSense("weight", clockwise, l.Clockwise); err != nil {
		return err
	}
	return plane.CheckSense("cam", camClockwise, l.TurnsClockwise())
}

// Travel returns the swing from rest to where the slot would turn back.
func (l PinInSlot) Travel() (lo, hi float64) { return 0, plane.Range(l.Cam) }

// check refuses points that are not finite, a pin on its pivot or on the axis,
// and a slot that passes the axis further out than the pin.
func (l PinInSlot) check() error {
	if err := plane.CheckPoint("slot linkage pivot", l.Pivot); err != nil {
		return err
	}
	if err := plane.CheckPoint("slot linkage pin", l.Pin); err != nil {
		return err
	}
	rest := math.Hypot(l.Pin.X, l.Pin.Y)
	if !(rest > 0) || l.Pin == l.Pivot {
		return plane.Refuse("slot linkage pin radius", rest, "m", "more than 0, and away from the pivot")
	}
	if !(math.Abs(l.Offset) < rest) {
		return plane.Refuse("slot linkage offset", l.Offset, "m", "smaller than the pin's radius at rest")
	}
	_, slope, _ := l.Cam(0)
	return plane.CheckForwards("slot linkage", slope)
}
