package vacuum

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("vacuum: value out of range")

// field is a value on its way through a check.
type field struct {
	name  string
	value float64
	unit  string
	valid string // the valid range in words
	ok    bool   // whether the value lies in it; false for NaN
}

// check returns an error for the first field that is not in its range.
func check(fields ...field) error {
	for _, f := range fields {
		if !f.ok || math.IsInf(f.value, 0) || math.IsNaN(f.value) {
			return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, f.name, f.value, f.unit, f.valid)
		}
	}
	return nil
}

// positive is a field that has to be more than zero.
func positive(name string, value float64, unit string) field {
	return field{name, value, unit, "more than 0", value > 0}
}

// atLeastZero is a field that may be zero but not less.
func atLeastZero(name string, value float64, unit string) field {
	return field{name, value, unit, "0 or more", value >= 0}
}

// within is a field that has to lie in [lo, hi].
func within(name string, value float64, unit string, lo, hi float64) field {
	return field{name, value, unit, fmt.Sprintf("%.6g to %.6g", lo, hi), value >= lo && value <= hi}
}
