package linkages

import (
	"fmt"
	"sort"

	"gonum.org/v1/gonum/interp"

	"example.org/bobweight/flyweights/internal/plane"
)

// tabulated is a linkage measured on the hardware: turns of the cam at swings of
// the weights, joined by the monotone plane.Cubic of Fritsch and Butland (SIAM J. Sci.
// Stat. Comput. 5 (1984) 300). The zero value never turns and is refused by its Check.
type tabulated struct {
	phi, theta, slope []float64
}

// Two points of a table are at least so far apart, and the cam turns at most so
// far, in rad: slopes and their changes stay finite.
const (
	least = 1e-9
	most  = 100
)

// NewTabulated returns the linkage through the points (phi, theta), both in rad:
// three points or more, both rising strictly from 0 at rest. The slices are
// copied. Between the points runs the monotone cubic of Fritsch and Butland (SIAM J.
// Sci. Stat. Comput. 5 (1984) 300); outside them the turn is held at its end, and
// flyweights.Mechanism.Check keeps the stop within them.
func NewTabulated(phi, theta []float64) (plane.Linkage, error) {
	if len(phi) != len(theta) || len(phi) < 3 {
		return nil, fmt.Errorf("%w: tabulated linkage has %d swings and %d turns, valid is as many of each, 3 or more",
			plane.ErrRange, len(phi), len(theta))
	}
	if phi[0] != 0 || theta[0] != 0 {
		return nil, plane.Refuse("tabulated linkage at rest", phi[0]+theta[0], "rad", "swing and turn 0")
	}
	for i := 1; i < len(phi); i++ {
		if !(phi[i] >= phi[i-1]+least && phi[i] <= plane.FullSwing) {
			return nil, plane.Refuse(fmt.Sprintf("tabulated linkage swing %d", i+1), phi[i], "rad", "above the one before, and less than half a turn")
		}
		if !(theta[i] >= theta[i-1]+least && theta[i] <= most) {
			return nil, plane.Refuse(fmt.Sprintf("tabulated linkage turn %d", i+1), theta[i], "rad", "above the one before, up to 100 rad")
		}
	}
	l := &tabulated{phi: append([]float64(nil), phi...), theta: append([]float64(nil), theta...)}
	var fit interp.FritschButland
	if err := fit.Fit(l.phi, l.theta); err != nil {
		return nil, fmt.Errorf("%w: tabulated linkage: %w", plane.ErrRange, err)
	}
	for _, x := range l.phi {
		l.slope = append(l.slope, fit.PredictDerivative(x))
	}
	return l, nil
}

// Cam returns the interpolated turn and its derivatives. A swing outside the
// table is held at its end, where nothing was measured; Travel tells the range
// and Mechanism.Check keeps the stop within it. The second derivative jumps at
// the points of the table.
func (l *tabulated) Cam(phi float64) (theta, d1, d2 float64) {
	if l == nil || len(l.phi) < 2 {
		return 0, 0, 0
	}
	n := len(l.phi)
	phi = max(0, min(phi, l.phi[n-1]))
	i := max(1, min(sort.SearchFloat64s(l.phi, phi), n-1))
	h := l.phi[i] - l.phi[i-1]
	c := plane.Hermite(l.theta[i-1], l.theta[i], l.slope[i-1]*h, l.slope[i]*h)
	t := (phi - l.phi[i-1]) / h
	return c.At(t), c.Slope(t) / h, (2*c[2] + 6*c[3]*t) / (h * h)
}

// Travel returns the range of swings in the table, in rad.
func (l *tabulated) Travel() (lo, hi float64) {
	if l == nil || len(l.phi) == 0 {
		return 0, 0
	}
	return 0, l.phi[len(l.phi)-1]
}

// Check refuses the zero value and nil.
func (l *tabulated) Check() error {
	if l == nil || len(l.phi) == 0 {
		return fmt.Errorf("%w: tabulated linkage without points, valid is one made by NewTabulated", plane.ErrRange)
	}
	return nil
}
