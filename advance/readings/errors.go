package readings

import (
	"example.org/bobweight/springs/valid"

	"errors"
	"fmt"
	"math"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("readings")

// ErrOneSided is wrapped where the readings bound a quantity on one side only
// and a two-sided answer was asked for.
var ErrOneSided = errors.New("readings: known on one side only")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", errRange, field, value, unit, valid)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
