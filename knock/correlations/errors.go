package correlations

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("correlations")

const atmosphere = 101325.0 // Pa

// ReferenceRPM is the engine speed at which burn angles are given and about which
// exponents of speed turn, crank rpm.
const ReferenceRPM = 2000.0
