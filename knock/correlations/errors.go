package correlations

import "errors"

// ErrRange is wrapped by every error of this package that refuses a value.
var ErrRange = errors.New("correlations: value out of range")

const atmosphere = 101325.0 // Pa

// ReferenceRPM is the engine speed at which burn angles are given and about which
// exponents of speed turn, crank rpm.
const ReferenceRPM = 2000.0
