package learned

import (
	"errors"
	"fmt"
	"math"
)

// ErrRange is wrapped by every error of this package that refuses a value. The
// message names the field, the value with its unit and the valid range.
var ErrRange = errors.New("learned: value out of range")

// ErrUndetermined is wrapped where the runs do not determine a combination. The
// message names the run that would.
var ErrUndetermined = errors.New("learned: not determined by the runs")

func outOfRange(field string, value float64, unit, valid string) error {
	return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, field, value, unit, valid)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
