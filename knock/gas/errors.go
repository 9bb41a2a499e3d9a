package gas

import (
	"example.org/bobweight/springs/valid"

	"errors"
	"fmt"
	"math"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("gas")

// errConvergence is wrapped where an equilibrium search does not settle.
var errConvergence = errors.New("gas: equilibrium did not converge")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", errRange, field, value, unit, valid)
}

func inside(x, lo, hi float64) bool { return x >= lo && x <= hi && !math.IsNaN(x) }
