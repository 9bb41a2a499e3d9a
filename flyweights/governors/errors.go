package governors

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("governors")

// Limits far beyond any governor, within which no square overflows.
const (
	maxLength = 1e3 // m
	maxMass   = 1e9 // kg
	maxForce  = 1e12
	maxSpeed  = 1e6 // rad/s
)

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

func check(ranges ...valid.Range) error { return valid.Check(errRange, ranges...) }
