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
	out := c.run(spark, nil, true)
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
// above a threshold that may lean with spark. The integral is not monotonic: far beyond best torque the burn
// is over before the delay is, so a root finder between the ends could miss it or
// find the second crossing.
func (c *charge) knockLimitedSpark(s *scan, above threshold) (spark float64, found bool) {
	if s.g[0] >= above.at(s.spark[0]) {
		return s.spark[0], true
	}
	for i := 1; i < s.n; i++ {
		if over := s.g[i] - above.at(s.spark[i]); over >= 0 {
			return c.refine(s.spark[i-1], s.spark[i], s.g[i-1]-above.at(s.spark[i-1]), over, above), true
		}
	}
	return math.NaN(), false
}

// threshold is a level that is a straight line over spark.
type threshold struct{ level, spark, slope float64 }

func (t threshold) at(spark float64) float64 { return t.level + t.slope*(spark-t.spark) }

// refine closes a bracket whose ends are known to 0.005 degrees.
func (c *charge) refine(a, b, fa, fb float64, above threshold) float64 {
	x, _, err := root.Brent(func(spark float64) float64 {
		switch spark {
		case a:
			return fa
		case b:
			return fb
		}
		return c.knockLevel(spark) - above.at(spark)
	}, a, b, 0.0025)
	if err != nil { // a level that is not a number: the safe end
		return a
	}
	return x
}
