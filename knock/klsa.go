package knock

import (
	"math"

	"example.org/bobweight/springs/root"
)

// scan is the logarithm of the autoignition integral over spark, from retarded to
// advanced.
type scan struct {
	spark, g [24]float64
	n        int
}

const scanStep = 4.0 // crank degrees

// knockLevel returns the logarithm of the integral of one spark.
func (c *charge) knockLevel(spark float64) float64 {
	out := c.fire(spark, nil)
	return math.Log(math.Max(out.integral, 1e-12))
}

// sweepSparks scans from the retarded end up to a spark.
func (c *charge) sweepSparks(to float64) (s scan) {
	for x := earliestSearch; s.n < len(s.spark); x += scanStep {
		x := math.Min(x, to)
		s.spark[s.n], s.g[s.n] = x, c.knockLevel(x)
		s.n++
		if x >= to {
			break
		}
	}
	return s
}

// knockLimitedSpark returns the first spark, coming from retard, at which the level passes
// above a threshold. The integral is not monotonic: far beyond best torque the burn
// is over before the delay is, so a root finder between the ends could miss it or
// find the second knockLimitedSpark.
func (c *charge) knockLimitedSpark(s *scan, above float64) (spark float64, found bool) {
	if s.g[0] >= above {
		return s.spark[0], true
	}
	for i := 1; i < s.n; i++ {
		if s.g[i] >= above {
			return c.refine(s.spark[i-1], s.spark[i], s.g[i-1]-above, s.g[i]-above, above), true
		}
	}
	return math.NaN(), false
}

// refine closes a bracket whose ends are known to 0.005 degrees.
func (c *charge) refine(a, b, fa, fb, above float64) float64 {
	x, _, err := root.Brent(func(spark float64) float64 {
		switch spark {
		case a:
			return fa
		case b:
			return fb
		}
		return c.knockLevel(spark) - above
	}, a, b, 0.0025)
	if err != nil { // a level that is not a number: the safe end
		return a
	}
	return x
}
