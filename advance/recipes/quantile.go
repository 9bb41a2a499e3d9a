package recipes

import (
	"math"
	"slices"
)

// quantiles reads the middle 95 % off a sample, whose values it puts into another
// order. Between two values it goes in a straight line, as gonum's stat.LinInterp. It
// needs the values beside three places only, so it selects those: the median first,
// and the others within its halves.
func quantiles(x []float64) Quantiles {
	median, middle := quantile(x, 0, len(x), 0.5)
	low, _ := quantile(x, 0, middle+1, 0.025)
	high, _ := quantile(x, middle, len(x), 0.975)
	return Quantiles{low, median, high}
}

// quantile selects one that is known to lie at the places from to to-1, and says at
// which.
func quantile(x []float64, from, to int, p float64) (value float64, at int) {
	place := p * float64(len(x))
	i := max(int(math.Ceil(place))-1, 0)
	selectNth(x[from:to], i-from)
	if i == 0 {
		return x[0], 0
	}
	if i == from {
		from = 0
	}
	part := float64(i+1) - place
	return part*slices.Max(x[from:i]) + (1-part)*x[i], i
}

// selectNth puts the value that sorting would put at place n there, no greater
// value before it and no smaller one behind it: Hoare's quickselect about the
// middle of three. Where the pivots keep falling badly the rest is sorted.
func selectNth(x []float64, n int) {
	for range 64 {
		if len(x) < 12 {
			break
		}
		a, b, c := x[0], x[len(x)/2], x[len(x)-1]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := 0, len(x)-1
		for i <= j {
			for x[i] < pivot {
				i++
			}
			for pivot < x[j] {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			x = x[:j+1]
		case n >= i:
			x, n = x[i:], n-i
		default:
			return // between the two, where all are as great as the pivot
		}
	}
	slices.Sort(x)
}
