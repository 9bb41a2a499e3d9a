package knock

import "math"

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

// refine closes a bracket by the Illinois form of false position to 0.005 degrees.
func (c *charge) refine(a, b, fa, fb, above float64) float64 {
	side := 0
	x := b
	for range 30 {
		last := x
		x = (a*fb - b*fa) / (fb - fa)
		if b-a < 0.005 || math.Abs(x-last) < 0.005 {
			break
		}
		f := c.knockLevel(x) - above
		switch {
		case f < 0:
			a, fa = x, f
			if side < 0 {
				fb /= 2
			}
			side = -1
		default:
			b, fb = x, f
			if side > 0 {
				fa /= 2
			}
			side = 1
		}
	}
	return x
}
