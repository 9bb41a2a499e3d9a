package vacuum

import "math"

// simplex minimises f from x by the method of Nelder and Mead (Computer Journal 7
// (1965) 308) with its usual factors: the likelihood of a line with corners has
// kinks, at which methods that ask for slopes stop. gonum's own form finds the same
// lines (a test compares them), but hands every value from one goroutine to another:
// the hundreds of searches behind one set of intervals take it eight times as long. It
// changes x to the best place found and returns the value there.
func simplex(f func([]float64) float64, x []float64, size float64) float64 {
	n := len(x)
	corner := make([][]float64, n+1)
	value := make([]float64, n+1)
	for i := range corner {
		corner[i] = append([]float64(nil), x...)
		if i > 0 {
			corner[i][i-1] += size
		}
		value[i] = f(corner[i])
	}
	middle, trial, other := make([]float64, n), make([]float64, n), make([]float64, n)
	// along sets to the point middle + k (middle - worst).
	along := func(to []float64, k float64, worst int) float64 {
		for j := range to {
			to[j] = middle[j] + k*(middle[j]-corner[worst][j])
		}
		return f(to)
	}
	for range 200 * n {
		best, worst, second := 0, 0, 0
		for i, v := range value {
			if v < value[best] {
				best = i
			}
			if v > value[worst] {
				worst = i
			}
		}
		second = best
		for i, v := range value {
			if i != worst && v > value[second] {
				second = i
			}
		}
		if value[worst]-value[best] < 1e-7 {
			break
		}
		for j := range middle {
			middle[j] = 0
			for i := range corner {
				if i != worst {
					middle[j] += corner[i][j] / float64(n)
				}
			}
		}
		take := func(p []float64, v float64) { copy(corner[worst], p); value[worst] = v }
		switch v := along(trial, 1, worst); {
		case v < value[best]:
			if w := along(other, 2, worst); w < v {
				take(other, w)
			} else {
				take(trial, v)
			}
		case v < value[second]:
			take(trial, v)
		default:
			if v < value[worst] {
				take(trial, v)
			}
			if w := along(other, -0.5, worst); w < value[worst] {
				take(other, w)
				continue
			}
			for i := range corner { // shrink towards the best
				if i == best {
					continue
				}
				for j := range x {
					corner[i][j] = corner[best][j] + (corner[i][j]-corner[best][j])/2
				}
				value[i] = f(corner[i])
			}
		}
	}
	best := 0
	for i, v := range value {
		if v < value[best] {
			best = i
		}
	}
	copy(x, corner[best])
	return math.Min(value[best], math.MaxFloat64)
}
