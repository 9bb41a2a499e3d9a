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
	name   string
	value  float64
	unit   string
	valid  string // the valid range in words; empty for lo to hi
	ok     bool   // whether the value lies in it; false for NaN
	lo, hi float64
}

// check returns an error for the first field that is not in its range.
func check(fields ...field) error {
	for _, f := range fields {
		if !f.ok || math.IsInf(f.value, 0) || math.IsNaN(f.value) {
			return f.refusal()
		}
	}
	return nil
}

func (f field) refusal() error {
	if f.valid == "" {
		f.valid = fmt.Sprintf("%.6g to %.6g", f.lo, f.hi)
	}
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, f.name, f.value, f.unit, f.valid)
}

// size is a field that has to be more than zero and at most what any engine has of
// it; beyond, squares and products would leave the range of numbers.
func size(name string, value float64, unit string, most float64) field {
	return field{name: name, value: value, unit: unit, ok: value >= most*1e-12 && value <= most, lo: most * 1e-12, hi: most}
}

// upTo is a field that may be zero and is at most what any engine has of it.
func upTo(name string, value float64, unit string, most float64) field {
	return within(name, value, unit, 0, most)
}

// positive is a field that has to be more than zero.
func positive(name string, value float64, unit string) field {
	return field{name: name, value: value, unit: unit, valid: "more than 0", ok: value > 0}
}

// atLeastZero is a field that may be zero but not less.
func atLeastZero(name string, value float64, unit string) field {
	return field{name: name, value: value, unit: unit, valid: "0 or more", ok: value >= 0}
}

// within is a field that has to lie in [lo, hi].
func within(name string, value float64, unit string, lo, hi float64) field {
	return field{name: name, value: value, unit: unit, ok: value >= lo && value <= hi, lo: lo, hi: hi}
}

// rule is a field whose range is said in words.
func rule(name string, value float64, unit, valid string, ok bool) field {
	return field{name: name, value: value, unit: unit, valid: valid, ok: ok}
}
