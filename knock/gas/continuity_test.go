package gas

import (
	"math"
	"testing"
)

// The two ranges of every species meet at 1000 K in heat capacity, enthalpy and entropy;
// the fits were constrained to it, and their printed digits keep it to some millionths.
func TestContinuousAtTheJoin(t *testing.T) {
	for _, s := range append(append([]*Species(nil), products[:]...), fuels[:]...) {
		cold, hot := *s, *s
		cold.fit[1], hot.fit[0] = s.fit[0], s.fit[1]
		c0, h0, e0 := cold.reduced(middle)
		c1, h1, e1 := hot.reduced(middle)
		for what, gap := range map[string]float64{"cp": c1/c0 - 1, "h": (h1 - h0) / c0, "s": e1/e0 - 1} {
			if !(math.Abs(gap) <= 1e-5) {
				t.Errorf("%s: %s jumps by %.2g of itself at 1000 K", s.name, what, gap)
			}
		}
	}
}
