package recipes

import (
	"math"
	"slices"
)

// piecewise is a function of straight pieces with its corners sorted into bins, so
// that a value costs no search.
type piecewise struct {
	x, y, slope []float64
	first       float64 // x of the first bin
	perBin      float64 // bins per unit of x
	bins        []int   // piece in which each bin begins
}

// newPiecewise makes one through corners with rising x, two or more.
func newPiecewise(x, y []float64) *piecewise {
	const bins = 512
	n := len(x)
	b := &piecewise{x: x, y: y, first: x[0], perBin: bins / (x[n-1] - x[0]), bins: make([]int, bins)}
	for k := range n - 1 {
		b.slope = append(b.slope, (y[k+1]-y[k])/(x[k+1]-x[k]))
	}
	k := 0
	for i := range b.bins {
		for k < n-2 && x[k+1] <= b.first+float64(i)/b.perBin {
			k++
		}
		b.bins[i] = k
	}
	return b
}

// at returns the value; beyond the corners the outer pieces go on. An x far
// beyond them must not overflow an int, and one at a bin's edge may round into
// the next bin.
func (b *piecewise) at(x float64) float64 {
	k := b.bins[min(max(int(min((x-b.first)*b.perBin, 1e9)), 0), len(b.bins)-1)]
	for k < len(b.slope)-1 && x > b.x[k+1] {
		k++
	}
	for k > 0 && x < b.x[k] {
		k--
	}
	return b.y[k] + b.slope[k]*(x-b.x[k])
}

// farthest is an angle off MBT that no recipe reaches, crank degrees.
const farthest = 360

// piecewiseAt is the loss at one engine speed where it is given as rows: a function
// of straight pieces with the corners of both rows beside the speed, and those
// where the outer slopes meet no loss and all loss.
func (l losses) piecewiseAt(rpm float64) *piecewise {
	x := []float64{-farthest, farthest}
	for i := range l {
		r := &l[i]
		n := len(r.Off)
		x = append(x, r.Off...)
		for _, end := range [2][2]int{{0, 1}, {n - 1, n - 2}} {
			slope := (r.Lost[end[1]] - r.Lost[end[0]]) / (r.Off[end[1]] - r.Off[end[0]])
			for _, level := range [2]float64{0, 1} {
				if at := r.Off[end[0]] + (level-r.Lost[end[0]])/slope; math.Abs(at) < farthest {
					x = append(x, at)
				}
			}
		}
	}
	slices.Sort(x)
	x = slices.Compact(x)
	y := make([]float64, len(x))
	for i := range x {
		y[i] = l.at(rpm, x[i])
	}
	return newPiecewise(x, y)
}
