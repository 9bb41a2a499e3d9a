package springs

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"example.org/bobweight/springs/valid"
)

// MeasurePiecewise recovers the whole law of a spring from readings that begin with
// its coils closed: light loads that do not lengthen it and heavier ones that do.
// It needs three readings or more, one of them closed and two open, each with a
// standard deviation of its length.
//
// The closed readings say the free length, the open ones the line, as in
// [Measure]. Which are closed is decided by the fit itself: readings are taken in
// order of load, every split is tried, and the one with the least sum of squares
// of those that make sense, no closed load above the initial tension by more than
// three standard deviations, is the answer. It has the same three parameters at
// any split, so the sums compare fairly. Residuals are in order of load; DegreesOfFreedom
// is readings less 3.
func MeasurePiecewise(readings []Reading) (*Measured, error) {
	if len(readings) < 3 {
		return nil, valid.Refuse(errRange, "readings", float64(len(readings)), "", "3 or more, one with the coils closed")
	}
	for i, r := range readings {
		if err := valid.Check(errRange,
			valid.Above("length", r.Length, "m", 0, maxLength),
			valid.In("load", r.Load, "N", 0, maxForce),
			valid.In("standard deviation of the length", r.SigmaLength, "m", 1e-12, maxLength),
			valid.In("standard deviation of the load", r.SigmaLoad, "N", 0, maxForce),
		); err != nil {
			return nil, fmt.Errorf("reading %d: %w", i+1, err)
		}
	}
	sorted := slices.Clone(readings)
	slices.SortStableFunc(sorted, func(a, b Reading) int {
		switch {
		case a.Load < b.Load:
			return -1
		case a.Load > b.Load:
			return 1
		}
		return 0
	})
	var best *Measured
	for n := 1; n <= len(sorted)-2; n++ {
		m, ok := measureSplit(sorted[:n], sorted[n:])
		if ok && (best == nil || m.ChiSquared < best.ChiSquared) {
			best = m
		}
	}
	if best == nil {
		return nil, fmt.Errorf("%w: no split of the %d readings makes a spring, valid is light loads at one length and heavier ones at rising lengths", errRange, len(readings))
	}
	best.judge()
	return best, nil
}

// measureSplit fits a split of the readings and reports whether it is a spring.
func measureSplit(closed, open []Reading) (*Measured, bool) {
	lengths, weights := make([]float64, len(closed)), make([]float64, len(closed))
	for i, r := range closed {
		lengths[i], weights[i] = r.Length, 1/(r.SigmaLength*r.SigmaLength)
	}
	free := stat.Mean(lengths, weights)
	var sum float64
	for _, w := range weights {
		sum += w
	}
	m, err := measure(open, free, 1/math.Sqrt(sum))
	if err != nil {
		return nil, false // an open reading on the wrong side, or a line that falls
	}
	heaviest := closed[len(closed)-1]
	if heaviest.Load > m.Spring.InitialTension+3*math.Hypot(heaviest.SigmaLoad, math.Sqrt(m.Covariance.At(1, 1))) {
		return nil, false
	}
	var residuals []float64
	for _, r := range closed {
		z := (r.Length - free) / r.SigmaLength
		residuals = append(residuals, z)
		m.ChiSquared += z * z
	}
	m.Residuals = append(residuals, m.Residuals...)
	m.DegreesOfFreedom = len(m.Residuals) - 3
	return m, true
}
