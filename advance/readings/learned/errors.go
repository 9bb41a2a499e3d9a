package learned

import (
	"errors"

	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("learned")

// ErrUndetermined is wrapped where the runs do not determine a combination. The
// message names the run that would.
var ErrUndetermined = errors.New("learned: not determined by the runs")
