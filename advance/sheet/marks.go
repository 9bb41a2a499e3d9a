package sheet

import (
	"math"
	"slices"
)

// mark is a line to be scribed on the damper rim. A mark for advance lies ahead of
// the top-centre mark in the direction of rotation, so that it passes the pointer
// first.
type mark struct {
	Degrees  float64 `json:"deg"`    // crank degrees before top centre
	Distance float64 `json:"rim_mm"` // mm along the rim from the top-centre mark, in the direction of rotation
}

// marks are the round tens and the setting itself, ascending. A setting that falls
// on a ten has one mark.
func marks(diameter, setting float64) []mark {
	degrees := []float64{10, 20, 30}
	if setting > 0 {
		degrees = append(degrees, setting)
	}
	slices.Sort(degrees)
	var list []mark
	for _, deg := range slices.Compact(degrees) {
		list = append(list, mark{Degrees: deg, Distance: Round(RimDistance(diameter, deg))})
	}
	return list
}

// RimDistance returns the distance along the rim of a damper of the given
// diameter that stands for crank degrees: pi D theta / 360, in the unit of the
// diameter (definition of arc length).
func RimDistance(diameter, degrees float64) float64 { return math.Pi * diameter * degrees / 360 }
