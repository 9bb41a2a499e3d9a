package knock

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value.
var ErrRange = errors.New("knock: value out of range")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

func inside(x, lo, hi float64) bool { return x >= lo && x <= hi && !math.IsNaN(x) }

// bound is one field's valid range.
type bound struct {
	field     string
	value     float64
	lo, hi    float64
	unit      string
	otherwise string
}

func check(bounds ...bound) error {
	for _, b := range bounds {
		if !inside(b.value, b.lo, b.hi) {
			valid := b.otherwise
			if valid == "" {
				valid = fmt.Sprintf("%.6g to %.6g %s", b.lo, b.hi, b.unit)
			}
			return outOfRange(b.field, b.value, b.unit, valid)
		}
	}
	return nil
}
