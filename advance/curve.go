package advance

import (
	"fmt"
	"sort"
)

// Point is one point of an advance curve.
type Point struct {
	RPM     float64 // engine speed, crank revolutions per minute
	Degrees float64 // crank degrees, positive before top centre
}

// Curve is crank degrees over engine rpm as straight lines between points. It
// is the form in which targets, limits and measured curves are handed about;
// make one with [NewCurve]. The zero value holds no points and refuses to be
// read.
type Curve struct{ points []Point }

// NewCurve returns the curve through the points, which need finite degrees and
// strictly rising, non-negative rpm; at least one point. The points are copied.
func NewCurve(points []Point) (Curve, error) {
	if len(points) == 0 {
		return Curve{}, fmt.Errorf("%w: curve has no points, valid is one or more", errRange)
	}
	last := -1.0
	for i, p := range points {
		if !finite(p.RPM) || p.RPM < 0 || p.RPM <= last {
			return Curve{}, outOfRange(fmt.Sprintf("curve point %d speed", i+1), p.RPM, "rpm crank", "0 or more and above the point before")
		}
		if !finite(p.Degrees) {
			return Curve{}, outOfRange(fmt.Sprintf("curve point %d advance", i+1), p.Degrees, "deg crank", "a finite number")
		}
		last = p.RPM
	}
	return Curve{points: append([]Point(nil), points...)}, nil
}

// Points returns a copy of the curve's points in rising order of rpm.
func (c Curve) Points() []Point { return append([]Point(nil), c.points...) }

// At returns the curve's crank degrees at an engine speed inside its range. It
// refuses speeds outside: a measured curve says nothing beyond its ends.
func (c Curve) At(rpm float64) (float64, error) {
	if len(c.points) == 0 {
		return 0, outOfRange("speed", rpm, "rpm crank", "a speed on a curve with points")
	}
	if lo, hi := c.points[0].RPM, c.points[len(c.points)-1].RPM; !(rpm >= lo && rpm <= hi) {
		return 0, outOfRange("speed", rpm, "rpm crank", fmt.Sprintf("%.6g to %.6g rpm crank", lo, hi))
	}
	return c.held(rpm), nil
}

// Held returns the curve's crank degrees at an engine speed, holding the first
// and last value beyond its ends, as a mechanism against its stops does. It
// refuses an empty curve and a speed that is not finite.
func (c Curve) Held(rpm float64) (float64, error) {
	if len(c.points) == 0 || !finite(rpm) {
		return 0, outOfRange("speed", rpm, "rpm crank", "a finite number on a curve with points")
	}
	return c.held(rpm), nil
}

func (c Curve) held(rpm float64) float64 {
	p := c.points
	i := sort.Search(len(p), func(i int) bool { return p[i].RPM >= rpm })
	switch {
	case i == 0:
		return p[0].Degrees
	case i == len(p):
		return p[len(p)-1].Degrees
	}
	a, b := p[i-1], p[i]
	return a.Degrees + (b.Degrees-a.Degrees)*(rpm-a.RPM)/(b.RPM-a.RPM)
}
