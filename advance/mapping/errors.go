package mapping

import (
	"fmt"

	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("mapping")

// check refuses the first value outside its range, NaN included.
func check(ranges ...valid.Range) error { return valid.Check(errRange, ranges...) }

// within is a value that has to lie in [lo, hi].
func within(field string, value float64, unit string, lo, hi float64) valid.Range {
	return valid.In(field, value, unit, lo, hi)
}

// missing refuses a question without one of its parts.
func missing(part string) error {
	return fmt.Errorf("%w: %s is nil, valid is one that is given", errRange, part)
}
