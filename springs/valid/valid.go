// Package valid states in one sentence that a value is out of range.
//
// Every package of this module refuses values in the same words:
//
//	springs: value out of range: wire diameter is 0.02 m, valid is 0.0001 to 0.016 m
//
// The first part is the package that refuses. Every such error wraps [ErrRange], so
// that a caller asks for one sentinel whichever package speaks. A quantity without
// dimension has the unit "" or "1" and is printed without one. The package holds no
// physics.
package valid

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this module that refuses a value. The message
// names the package, the field, the value with its unit and the valid range.
var ErrRange = errors.New("value out of range")

// Sentinel returns [ErrRange] in the name of a package: "springs: value out of range".
// An error that wraps it wraps ErrRange too. Two of one name are equal.
func Sentinel(pkg string) error { return sentinel(pkg) }

type sentinel string

func (s sentinel) Error() string { return string(s) + ": " + ErrRange.Error() }

func (s sentinel) Unwrap() error { return ErrRange }

// Refuse returns the error that wraps sentinel and names a field, its value with
// unit, and the valid range in words that hold their own unit. The unit of a
// quantity without dimension is "" or "1".
func Refuse(sentinel error, field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g%s, valid is %s", sentinel, field, value, after(unit), valid)
}

// Range is a value with the interval in which it is valid. The zero value allows
// only 0.
type Range struct {
	Field    string
	Value    float64
	Unit     string  // of value and ends; "" or "1" without dimension
	From, To float64 // both valid; ±Inf leaves an end open, to any finite value
	Above    bool    // From itself is not valid
}

// In is the closed range of a value from one end to the other.
func In(field string, value float64, unit string, from, to float64) Range {
	return Range{Field: field, Value: value, Unit: unit, From: from, To: to}
}

// Above is [In] without the lower end itself.
func Above(field string, value float64, unit string, from, to float64) Range {
	return Range{Field: field, Value: value, Unit: unit, From: from, To: to, Above: true}
}

// holds reports whether the value is valid. NaN and the infinities never are.
func (r Range) holds() bool {
	if r.Above && r.Value == r.From {
		return false
	}
	return r.Value >= r.From && r.Value <= r.To && Finite(r.Value)
}

// words describes the interval.
func (r Range) words() string {
	unit := after(r.Unit)
	low, high := !math.IsInf(r.From, 0), !math.IsInf(r.To, 0)
	switch {
	case !low && !high:
		return "a finite number"
	case !low:
		return fmt.Sprintf("a finite number of at most %.6g%s", r.To, unit)
	case !high && r.Above:
		return fmt.Sprintf("a finite number above %.6g%s", r.From, unit)
	case !high:
		return fmt.Sprintf("a finite number of %.6g%s or more", r.From, unit)
	case r.Above:
		return fmt.Sprintf("more than %.6g and at most %.6g%s", r.From, r.To, unit)
	}
	return fmt.Sprintf("%.6g to %.6g%s", r.From, r.To, unit)
}

// Check returns nil if every value is within its range, and else the sentence
// of [Refuse] for the first that is not. NaN and the infinities never are.
func Check(sentinel error, ranges ...Range) error {
	for i := range ranges {
		if r := &ranges[i]; !r.holds() {
			return Refuse(sentinel, r.Field, r.Value, r.Unit, r.words())
		}
	}
	return nil
}

// Finite reports whether all values are numbers that can be calculated with:
// neither NaN nor infinite.
func Finite(values ...float64) bool {
	for _, x := range values {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// after returns the unit as it follows a number.
func after(unit string) string {
	if unit == "" || unit == "1" {
		return ""
	}
	return " " + unit
}
