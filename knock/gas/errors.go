package gas

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error that refuses a value.
var ErrRange = errors.New("gas: value out of range")

// ErrConvergence is wrapped where an equilibrium search does not settle.
var ErrConvergence = errors.New("gas: equilibrium did not converge")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

func inside(x, lo, hi float64) bool { return x >= lo && x <= hi && !math.IsNaN(x) }
