package vacuum

import "math"

// root returns where a function that falls from at least 0 at lo to at most 0 at
// hi crosses zero, to the last bits: regula falsi with the Illinois weighting
// (Dowell and Jarratt, BIT 11 (1971) 168), halving whenever that has not shrunk
// the bracket to half in three steps. Where the function has no crossing the
// nearer end is returned.
func root(lo, hi float64, f func(float64) float64) float64 {
	flo, fhi := f(lo), f(hi)
	if flo <= 0 {
		return lo
	}
	if fhi >= 0 {
		return hi
	}
	side, width := 0, hi-lo
	for i := 1; hi-lo > 4e-16*math.Max(math.Abs(lo), math.Abs(hi)); i++ {
		x := hi - fhi*(hi-lo)/(fhi-flo)
		if i%3 == 0 {
			if hi-lo > width/2 {
				x = lo + (hi-lo)/2
			}
			width = hi - lo
		}
		if !(x > lo && x < hi) {
			x = lo + (hi-lo)/2
			if x <= lo || x >= hi {
				break
			}
		}
		switch y := f(x); {
		case y > 0:
			lo, flo = x, y
			if side == 1 {
				fhi /= 2
			}
			side = 1
		case y < 0:
			hi, fhi = x, y
			if side == -1 {
				flo /= 2
			}
			side = -1
		default:
			return x
		}
	}
	return lo + (hi-lo)/2
}
