package knock

import (
	"errors"
	"fmt"

	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("knock")

// ErrNotKnown is wrapped, beside [valid.ErrRange], where a running point is valid and yet the
// model cannot say what the engine wants there: light load and long cams at idle, with
// more burned gas than its burn was fitted for.
var ErrNotKnown = errors.New("not known")

func notKnown(what string, cond Condition) error {
	return fmt.Errorf("%w: %w: %s at %.6g rpm crank and %.4g kPa in the inlet", errRange, ErrNotKnown, what, cond.RPM, cond.InletPressure/1e3)
}

func outOfRange(field string, value float64, unit, permitted string) error {
	return valid.Refuse(errRange, field, value, unit, permitted)
}
