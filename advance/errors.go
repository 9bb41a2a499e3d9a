package advance

import (
	"example.org/bobweight/springs/valid"

	"math"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("advance")

// outOfRange says which field holds which value and what would be valid.
func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

// finite reports whether x is a number that can be calculated with.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
