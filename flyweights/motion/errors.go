package motion

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("motion: value out of range")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// limit is a value and the least it may be.
type limit struct {
	field string
	value float64
	unit  string
	least float64
	open  bool // the least value itself is out of range
}

// checkAll refuses the first value that is not finite or too small.
func checkAll(limits ...limit) error {
	for _, l := range limits {
		if finite(l.value) && (l.value > l.least || !l.open && l.value == l.least) {
			continue
		}
		valid := fmt.Sprintf("a finite number of %g or more", l.least)
		if l.open {
			valid = fmt.Sprintf("a finite number above %g", l.least)
		}
		return outOfRange(l.field, l.value, l.unit, valid)
	}
	return nil
}
