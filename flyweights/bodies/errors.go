package bodies

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("bodies")

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

// Limits within which no moment of a body can overflow or vanish.
const (
	maxLength  = 1e3  // m
	maxDensity = 3e4  // kg/m^3; osmium, the densest metal, has 22,600
	maxMass    = 1e12 // kg
	maxAngle   = 1e6  // rad; beyond it a sine has lost its meaning
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
	return valid.Check(errRange, valid.Above(field, value, unit, 0, hi))
}

// checkFinite refuses a result that is no number, which only parts far beyond any
// weight can give.
func checkFinite(field, unit string, values ...float64) error {
	for _, v := range values {
		if !valid.Finite(v) {
			return outOfRange(field, v, unit, "a finite number, from parts of a weight's size")
		}
	}
	return nil
}

func checkAngle(field string, value float64) error {
	if !(math.Abs(value) <= maxAngle) {
		return outOfRange(field, value, "rad", fmt.Sprintf("an angle within %.6g rad", maxAngle))
	}
	return nil
}
