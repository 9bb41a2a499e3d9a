package mapping

import (
	"errors"
	"fmt"

	"example.org/bobweight/springs/valid"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("mapping: value out of range")

// check refuses the first value outside its range, NaN included.
func check(ranges ...valid.Range) error { return valid.Check(ErrRange, ranges...) }

// within is a value that has to lie in [lo, hi].
func within(field string, value float64, unit string, lo, hi float64) valid.Range {
	return valid.In(field, value, unit, lo, hi)
}

// missing refuses a question without one of its parts.
func missing(part string) error {
	return fmt.Errorf("%w: %s is nil, valid is one that is given", ErrRange, part)
}
