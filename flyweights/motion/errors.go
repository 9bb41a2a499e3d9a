package motion

import (
	"errors"
	"math"

	"example.org/bobweight/springs/valid"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("motion: value out of range")

// Limits far beyond any distributor, within which nothing overflows and every run
// ends.
const (
	maxSpeed = 1e5 // rad/s of the shaft
	maxTime  = 1e6 // s
	maxCount = 1e6 // samples, sparks and events of a run each: beyond it memory is the limit
	maxSteps = 1e7 // of the integration
)

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(ErrRange, field, value, unit, words)
}

func check(ranges ...valid.Range) error { return valid.Check(ErrRange, ranges...) }

var inf = math.Inf(1)
