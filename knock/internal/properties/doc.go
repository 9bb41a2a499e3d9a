// Package properties holds gases in the forms that the cycle reads in its innermost
// loop: [Curve] for the fresh charge and the residual, [Table] for the burned gas. They
// are made once for a fuel and a mixture, from the fits and the equilibrium of package
// gas, and check nothing when they are read.
package properties

import (
	"math"

	"example.org/bobweight/springs/valid"
)

// standard is the pressure at which enthalpies are tabulated, Pa; an ideal gas has the
// same at any other.
const standard = 1e5

// outOfRange keeps the name of package gas, whose gases these are.
func outOfRange(field string, value float64, unit, words string) error {
	return valid.Refuse(valid.Sentinel("gas"), field, value, unit, words)
}

func inside(x, lo, hi float64) bool { return x >= lo && x <= hi && !math.IsNaN(x) }
