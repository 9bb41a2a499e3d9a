package recipes

import (
	"math"
	"slices"
)

// quantiles reads the middle 95 % off a sample, whose values it puts into another
// order. Between two values it goes in a straight line, as gonum's stat.LinInterp.
func quantiles(x []float64) Quantiles {
	return Quantiles{quantile(x, 0.025), quantile(x, 0.5), quantile(x, 0.975)}
}

// quantile needs the two values beside its place only, so it selects them where
// sorting all would take ten times as long.
func quantile(x []float64, p float64) float64 {
	place := p * float64(len(x))
	i := max(int(math.Ceil(place))-1, 0)
	selectNth(x, i)
	if i == 0 {
		return x[0]
	}
	below := slices.Max(x[:i])
	part := float64(i+1) - place
	return part*below + (1-part)*x[i]
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
