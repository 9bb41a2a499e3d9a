package flyweights

import (
	"fmt"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/root"
)

// Swing returns the swing phi in rad at which a linkage has turned the cam by
// theta in rad, 0 to what the linkage reaches: the inverse of [Linkage.Cam], by
// bisection down to neighbouring numbers. It tells where a slot of a given
// travel stops the weights. It refuses a turn out of reach with an error that
// wraps [valid.ErrRange].
func Swing(l Linkage, theta float64) (phi float64, err error) {
	if l == nil || isNil(l) {
		return 0, fmt.Errorf("%w: no linkage, valid is any that ties the cam to the weights", errRange)
	}
	lo, hi := l.Travel()
	lo = max(lo, 0)
	most, _, _ := l.Cam(hi)
	if !(theta >= 0 && theta <= most) {
		return 0, plane.Refuse("turn of the cam", theta, "rad", fmt.Sprintf("0 to %.6g rad, what the linkage reaches", most))
	}
	last, first, err := root.Edge(func(phi float64) bool {
		at, _, _ := l.Cam(phi)
		return at < theta
	}, lo, hi, 0)
	if err != nil { // the cam stands there at rest already
		return lo, nil
	}
	return last + (first-last)/2, nil
}
