package correlations

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("correlations")

const atmosphere = 101325.0 // Pa
