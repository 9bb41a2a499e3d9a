package bodies

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("bodies: value out of range")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

// Limits within which no moment of a body can overflow or vanish.
const (
	maxLength  = 1e3  // m
	maxDensity = 3e4  // kg/m^3; osmium, the densest metal, has 22,600
	maxMass    = 1e12 // kg
)

func checkPoint(field string, p r2.Vec) error {
	for _, v := range []float64{p.X, p.Y} {
		if !(math.Abs(v) <= maxLength) {
			return outOfRange(field, v, "m", "a coordinate within 1000 m of the axis")
		}
	}
	return nil
}

// checkPositive refuses what is not above 0 and at most hi.
func checkPositive(field string, value float64, unit string, hi float64) error {
	if !(value > 0 && value <= hi) {
		return outOfRange(field, value, unit, fmt.Sprintf("more than 0 and at most %.6g %s", hi, unit))
	}
	return nil
}

func checkAngle(field string, value float64) error {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return outOfRange(field, value, "rad", "a finite angle")
	}
	return nil
}
