package vacuum

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// What five held vacuums can tell at the most: the bound of Cramer and Rao on the
// standard errors of onset and full pull, wherever the five are held, with a gauge that
// errs by 0.5 inHg and an angle that errs by half a degree. A reading on the ramp has
// the error of its angle and that of its vacuum times the slope; one below or beyond
// shows an end of the angle and nothing of the vacuums. The unit is the ordinary one of
// the classes, on a straight ramp, with the angle at rest known.
func TestHeldVacuumsTellTooLittle(t *testing.T) {
	const onset, full, most, sigma = 6.0, 11.5, 8.0, 0.5
	information := func(v float64) (g [3]float64, weight float64) {
		x := (v - onset) / (full - onset)
		switch {
		case x <= 0:
			return g, 0
		case x >= 1:
			return [3]float64{0, 0, 1}, 1 / (sigma * sigma)
		}
		slope := most / (full - onset)
		return [3]float64{-slope * (1 - x), -slope * x, x}, 1 / (sigma*sigma + slope*slope*sigma*sigma)
	}
	// Held at the ends of the ramp, in its middle or beyond its end: the bound of any
	// other five is found by a search over a grid.
	var grid []float64
	for v := onset + 0.05; v < full+1; v += 0.45 {
		grid = append(grid, v)
	}
	best := math.Inf(1)
	var five [5]int
	var try func(k, from int)
	try = func(k, from int) {
		if k < len(five) {
			for i := from; i < len(grid); i++ {
				five[k] = i
				try(k+1, i)
			}
			return
		}
		sum := mat.NewSymDense(3, nil)
		for _, i := range five {
			g, w := information(grid[i])
			sum.SymRankOne(sum, w, mat.NewVecDense(3, g[:]))
		}
		var chol mat.Cholesky
		var cov mat.SymDense
		if !chol.Factorize(sum) || chol.InverseTo(&cov) != nil {
			return
		}
		// The mean of a normal error's size is sqrt(2/pi) of its standard error.
		best = math.Min(best, math.Sqrt(2/math.Pi)*(math.Sqrt(cov.At(0, 0))+math.Sqrt(cov.At(1, 1)))/2)
	}
	try(0, 0)
	t.Logf("five held vacuums at their best places: mean error of onset and full pull %.2f inHg", best)
	if !(best > 0.3) || math.IsInf(best, 0) {
		t.Errorf("held vacuums could tell onset and full pull within %.2f inHg: the readings that are recommended need another reason", best)
	}
}
