package gas

import (
	"example.org/bobweight/springs/valid"

	"errors"
	"math"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("gas")

// errConvergence is wrapped where an equilibrium search does not settle.
var errConvergence = errors.New("gas: equilibrium did not converge")

func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(errRange, field, value, unit, words)
}

func inside(x, lo, hi float64) bool { return x >= lo && x <= hi && !math.IsNaN(x) }
