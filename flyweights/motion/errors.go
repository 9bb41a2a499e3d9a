package motion

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("motion")

// Limits far beyond any distributor, within which nothing overflows and every run
// ends.
const (
	maxSpeed = 1e5 // rad/s of the shaft
	maxTime  = 1e6 // s
	maxCount = 1e6 // samples, sparks and events of a run each: beyond it memory is the limit
	maxSteps = 1e7 // of the integration
)

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

func check(ranges ...valid.Range) error { return valid.Check(errRange, ranges...) }

var inf = math.Inf(1)
