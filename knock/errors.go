package knock

import (
	"errors"

	"example.org/bobweight/springs/valid"
)

// ErrRange is wrapped by every error of this package that refuses a value.
var ErrRange = errors.New("knock: value out of range")

func outOfRange(field string, value float64, unit, permitted string) error {
	return valid.Refuse(ErrRange, field, value, unit, permitted)
}
