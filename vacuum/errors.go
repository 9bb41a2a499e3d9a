package vacuum

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("vacuum")

// check returns an error for the first value that is not in its range.
func check(ranges ...valid.Range) error { return valid.Check(errRange, ranges...) }

// refuse returns an error for a value whose range is said in words.
func refuse(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

// size is a value that has to be at least a million millionth of the most that any
// engine has of it; beyond, squares and products would leave the range of numbers.
func size(field string, value float64, unit string, most float64) valid.Range {
	return within(field, value, unit, most*1e-12, most)
}

// upTo is a value that may be zero and is at most what any engine has of it.
func upTo(field string, value float64, unit string, most float64) valid.Range {
	return within(field, value, unit, 0, most)
}

// within is a value that has to lie in [lo, hi].
func within(field string, value float64, unit string, lo, hi float64) valid.Range {
	return valid.In(field, value, unit, lo, hi)
}
