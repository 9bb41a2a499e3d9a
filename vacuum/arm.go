package vacuum

import "math"

// The arm. Put the shaft's axis at the origin, x along the diaphragm's axis
// towards the diaphragm, y square to it. The pin stands at
//
//	r (sin b, cos b),  b = ArmAngle + theta,
//
// and the rod's inner end, the diaphragm's centre, slides along y = h at
//
//	s = r sin b + sqrt(l^2 - (r cos b - h)^2),
//
// which is a slider-crank. The rod's travel is s - s(rest). A rod so long that
// its tilt does not count leaves s = r sin b.

// angle returns the rotation of the plate in rad that belongs to a rod travel x
// in m, 0 to the limiter. With a long rod it is asin(sin ArmAngle + x/ArmRadius) -
// ArmAngle; with a finite one the triangle shaft, pin, diaphragm has three known sides.
func (u Unit) angle(x float64) float64 {
	if x == 0 {
		return 0 // exactly, whatever the rounding of the sines
	}
	if u.RodLength == 0 {
		return asinInside(math.Sin(u.ArmAngle)+x/u.ArmRadius) - u.ArmAngle
	}
	s0, h := u.slider()
	s := s0 + x
	d := math.Hypot(s, h)
	c := (u.ArmRadius*u.ArmRadius + d*d - u.RodLength*u.RodLength) / (2 * u.ArmRadius * d)
	b := asinInside(c) - math.Atan2(h, s)
	return b - u.ArmAngle
}

// pull is the rod travel in m that turns the plate by theta in rad, the inverse of
// angle.
func (u Unit) pull(theta float64) float64 {
	b := u.ArmAngle + theta
	if u.RodLength == 0 {
		return u.ArmRadius * (math.Sin(b) - math.Sin(u.ArmAngle))
	}
	s0, h := u.slider()
	dy := u.ArmRadius*math.Cos(b) - h
	return u.ArmRadius*math.Sin(b) + math.Sqrt(u.RodLength*u.RodLength-dy*dy) - s0
}

// slider returns where the diaphragm's centre stands at rest: s along its axis
// and h, the distance of that axis from the shaft.
func (u Unit) slider() (s, h float64) {
	s = u.ArmRadius*math.Sin(u.ArmAngle) + u.RodLength*math.Cos(u.RodTilt)
	h = u.ArmRadius*math.Cos(u.ArmAngle) - u.RodLength*math.Sin(u.RodTilt)
	return s, h
}

// reach returns the rod travel at which arm and rod come into line, where the
// pull has no lever any more. It refuses an arm that stands beyond that already.
func (u Unit) reach() (float64, error) {
	if u.RodLength == 0 {
		return u.ArmRadius * (1 - math.Sin(u.ArmAngle)), nil
	}
	s, h := u.slider()
	lever := math.Cos(u.ArmAngle - u.RodTilt) // of the rod about the shaft, as a share of the radius
	if !(lever > 0 && math.Abs(u.ArmAngle-u.RodTilt) < math.Pi/2) {
		return 0, refuse("arm angle less rod tilt", u.ArmAngle-u.RodTilt, "rad", "more than -pi/2 and less than pi/2")
	}
	if !(s > 0) {
		return 0, refuse("diaphragm's distance from the shaft along its axis at rest", s, "m", "more than 0")
	}
	far := u.ArmRadius + u.RodLength
	return math.Sqrt(far*far-h*h) - s, nil
}

// asinInside is asin for a sine that rounding may have put a hair outside.
func asinInside(sine float64) float64 { return math.Asin(math.Max(-1, math.Min(1, sine))) }
