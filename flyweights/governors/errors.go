package governors

import (
	"errors"

	"example.org/bobweight/springs/valid"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("governors: value out of range")

// Limits far beyond any governor, within which no square overflows.
const (
	maxLength = 1e3 // m
	maxMass   = 1e9 // kg
	maxForce  = 1e12
	maxSpeed  = 1e6 // rad/s
)

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(ErrRange, field, value, unit, words)
}

func check(ranges ...valid.Range) error { return valid.Check(ErrRange, ranges...) }
