package springs

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("springs: value out of range")

// outOfRange says which field holds which value and what would be valid.
func outOfRange(field string, value float64, unit, valid string) error {
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Errorf("%w: %s is %.6g%s, valid is %s", ErrRange, field, value, unit, valid)
}

// bound is a field with its closed or half-open valid range, for tables of
// checks.
type bound struct {
	field  string
	value  float64
	unit   string
	lo, hi float64
	open   bool // lo itself is not valid
}

// holds reports whether the value lies within the bound. NaN never does.
func (b bound) holds() bool {
	if b.open && b.value == b.lo {
		return false
	}
	return b.value >= b.lo && b.value <= b.hi
}

// check returns the first violated bound as an error.
func check(bounds ...bound) error {
	for _, b := range bounds {
		if b.holds() {
			continue
		}
		words := fmt.Sprintf("%.6g to %.6g", b.lo, b.hi)
		if b.open {
			words = fmt.Sprintf("more than %.6g and at most %.6g", b.lo, b.hi)
		}
		return outOfRange(b.field, b.value, b.unit, words)
	}
	return nil
}

// finite reports whether x is a number that can be calculated with.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
