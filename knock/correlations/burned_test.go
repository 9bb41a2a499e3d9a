package correlations

import "math"

// burned returns the share burned y crank degrees after spark, 0 before it.
func (w Wiebe) burned(y float64) float64 {
	if !(y > 0) {
		return 0
	}
	return -math.Expm1(-tenth * math.Pow(y/w.Develop, w.Exponent()))
}
