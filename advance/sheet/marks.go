package sheet

import (
	"math"
	"slices"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/springs/valid"
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
func marks(diameter, setting float64) ([]mark, error) {
	degrees := []float64{10, 20, 30}
	if setting > 0 {
		degrees = append(degrees, setting)
	}
	slices.Sort(degrees)
	var list []mark
	for _, deg := range slices.Compact(degrees) {
		along, err := RimDistance(diameter, deg)
		if err != nil {
			return nil, err
		}
		list = append(list, mark{Degrees: deg, Distance: text.Round(along)})
	}
	return list, nil
}

// RimDistance returns the distance along the rim of a damper of the given
// diameter, 0 to 10,000 in any unit of length, that stands for crank degrees, -360 to
// 360: pi D theta / 360, in the unit of the diameter (definition of arc length).
func RimDistance(diameter, degrees float64) (float64, error) {
	err := valid.Check(errRange, valid.In("diameter of the damper", diameter, "", 0, 10000), valid.In("mark of the damper", degrees, "deg crank", -360, 360))
	if err != nil {
		return 0, err
	}
	return math.Pi * diameter * degrees / 360, nil
}
