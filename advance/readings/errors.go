package readings

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("readings: value out of range")

// ErrOneSided is wrapped where the readings bound a quantity on one side only
// and a two-sided answer was asked for.
var ErrOneSided = errors.New("readings: known on one side only")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
