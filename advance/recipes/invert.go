package recipes

import "math"

// invert reads theta (crank degrees) at each omega2 from rising values y of the
// grid: the cell by bisection with a step that halves, without a branch to
// guess, then a straight line inside the cell. omega2 must rise; y must rise
// strictly, start at 0 or above and be padded to 2^n+1 points, for floats of 0
// and above order like their bits.
func (g *grid) invert(x, omega2, y []float64) {
	theta := g.padded[:len(y)]
	x = x[:len(omega2)]
	first, end := y[0], y[len(g.theta)-1]
	i := 0
	for ; i < len(omega2) && omega2[i] <= first; i++ {
		x[i] = 0
	}
	half := (len(y) - 1) / 2
	for ; i < len(omega2); i++ {
		v := omega2[i]
		if v >= end {
			break
		}
		bits := int64(math.Float64bits(v))
		k := 0
		for step := half; step > 0; step >>= 1 {
			// All ones where y > v, so that k stays.
			stay := (bits - int64(math.Float64bits(y[k+step]))) >> 63
			k += step &^ int(stay)
		}
		x[i] = theta[k] + (v-y[k])*(theta[k+1]-theta[k])/(y[k+1]-y[k])
	}
	last := theta[len(theta)-1]
	for ; i < len(omega2); i++ {
		x[i] = last
	}
}

// The general case, where omega^2 may fall as the weights swing out. The
// rising sweep leaves the first crossing, the falling sweep comes to the last.

// invertRising reads theta at each omega2 on the rising sweep.
func (g *grid) invertRising(x, omega2, y []float64) {
	n := len(g.theta)
	for i, v := range omega2 {
		k := 0
		for k < n && y[k] <= v {
			k++
		}
		x[i] = g.between(k-1, v, y)
	}
}

// invertFalling reads theta at each omega2 on the falling sweep that begins at a
// travel in the given cell, where omega^2 is end.
func (g *grid) invertFalling(x, omega2, y []float64, travel float64, cell int, end float64) {
	for i, v := range omega2 {
		if end <= v {
			x[i] = travel
			continue
		}
		k := cell
		for k >= 0 && y[k] > v {
			k--
		}
		// Beyond the travel the values do not belong to the sweep: cut the line there.
		x[i] = min(g.between(k, v, y), travel)
	}
}

// between reads theta in the cell above point k, where y passes v.
func (g *grid) between(k int, v float64, y []float64) float64 {
	switch {
	case k < 0:
		return 0
	case k >= len(g.theta)-1:
		return g.theta[len(g.theta)-1]
	}
	return g.theta[k] + (v-y[k])*(g.theta[k+1]-g.theta[k])/(y[k+1]-y[k])
}

// crest writes the running maximum of y at the travel settings, the omega^2 at
// which the rising sweep gets there.
func (g *grid) crest(allIn, y []float64) {
	most, j := math.Inf(-1), 0
	for k := range g.theta {
		most = max(most, y[k])
		for ; j < len(g.cell) && g.cell[j] == k; j++ {
			allIn[j] = max(most, y[g.fill+j])
		}
	}
}

// leap returns the advance at which the rising sweep first snaps at an omega^2
// from lo to hi, as the points before and after which it turns over; infinite
// where it never does.
func (g *grid) leap(y []float64, lo, hi float64) (before, after float64) {
	most := y[0]
	for k := 1; k < len(g.theta); k++ {
		if y[k] < y[k-1] && y[k-1] >= most && most >= lo && most <= hi {
			return g.theta[k-1], g.theta[k]
		}
		most = max(most, y[k])
	}
	return math.Inf(1), math.Inf(1)
}

// trough follows the falling sweep from a travel in the given cell, where
// omega^2 is end, to rest: the least omega^2 on the way, at which the weights are
// back, and whether they snap at an omega^2 from lo to hi.
func (g *grid) trough(y []float64, cell int, end, lo, hi float64) (least float64, snaps bool) {
	least = end
	for k := cell; k >= 0; k-- {
		if y[k] > least && least >= lo && least <= hi {
			snaps = true
		}
		least = min(least, y[k])
	}
	return least, snaps
}
