package learned

import (
	"example.org/bobweight/springs/valid"

	"errors"
	"fmt"
	"math"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("learned")

// ErrUndetermined is wrapped where the runs do not determine a combination. The
// message names the run that would.
var ErrUndetermined = errors.New("learned: not determined by the runs")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", errRange, field, value, unit, valid)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
