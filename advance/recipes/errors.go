package recipes

import (
	"errors"
	"fmt"
	"math"
)

// Errors of this package, to be tested for with [errors.Is].
var (
	// ErrRange is wrapped where a value is refused. The message names the field,
	// the value with its unit and the valid range.
	ErrRange = errors.New("recipes: value out of range")
	// ErrNoRecipe is wrapped by [Search] where no combination meets the limits.
	// The result that comes with it holds the nearest one and what it breaks.
	ErrNoRecipe = errors.New("recipes: no combination meets the limits")
)

// outOfRange says which field holds which value and what would be valid.
func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

// refuse says what is wrong where no single number can be blamed.
func refuse(format string, args ...any) error {
	return fmt.Errorf("%w: %s", ErrRange, fmt.Sprintf(format, args...))
}

// finite reports whether x is a number that can be calculated with.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// within refuses a value outside lo to hi, NaN included.
func within(field string, x float64, unit string, lo, hi float64) error {
	if !(x >= lo && x <= hi) {
		return outOfRange(field, x, unit, fmt.Sprintf("%.6g to %.6g", lo, hi))
	}
	return nil
}

// firstOf returns the first error that is not nil.
func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
