package recipes

import (
	"errors"
	"fmt"

	"example.org/bobweight/springs/valid"
)

// Errors of this package, to be tested for with [errors.Is].
var (
	// errRange is wrapped where a value is refused. The message names the field,
	// the value with its unit and the valid range.
	errRange = valid.Sentinel("recipes")
	// ErrNoRecipe is wrapped by [Search] where no combination meets the limits.
	// The result that comes with it holds the nearest one and what it breaks.
	ErrNoRecipe = errors.New("recipes: no combination meets the limits")
)

// outOfRange says which field holds which value and what would be valid.
func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

// refuse says what is wrong where no single number can be blamed.
func refuse(format string, args ...any) error {
	return fmt.Errorf("%w: %s", errRange, fmt.Sprintf(format, args...))
}

// within refuses a value outside lo to hi, NaN included.
func within(field string, x float64, unit string, lo, hi float64) error {
	return valid.Check(errRange, valid.Range{Field: field, Value: x, Unit: unit, From: lo, To: hi})
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
