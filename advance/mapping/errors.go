package mapping

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("mapping: value out of range")

// span is a value with the range in which it has to lie.
type span struct {
	name   string
	value  float64
	unit   string
	lo, hi float64
}

// check refuses the first value outside its range, NaN included.
func check(spans ...span) error {
	for _, s := range spans {
		if !(s.value >= s.lo && s.value <= s.hi) || math.IsInf(s.value, 0) {
			return fmt.Errorf("%w: %s is %.6g %s, valid is %.6g to %.6g %s", ErrRange, s.name, s.value, s.unit, s.lo, s.hi, s.unit)
		}
	}
	return nil
}
