package recipes

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The bound on the torque given up with any static timing stays below the best
// of many timings: with weights of all sizes, and with such as rise steeply with
// the distance, on which Newton's method takes many short steps.
func TestLeastTorqueStaysBelow(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	const rounds = 3000
	for n := range rounds {
		size, power := 1+rng.IntN(40), 12*rng.Float64()
		w := &scan{plan: &plan{}}
		for i := range size {
			at := 80*rng.Float64() - 40
			from, to, coef := at, at+20*rng.Float64()*float64(rng.IntN(2)), math.Pow(10, 6*rng.Float64()-6)
			if n%2 == 0 {
				far := float64(i+1) / float64(size)
				from, to, coef = -100, 60*far, math.Pow(far, power)
			}
			w.spread.from, w.spread.to, w.nodes.coef = append(w.spread.from, from), append(w.spread.to, to), append(w.nodes.coef, coef)
		}
		lo := 90*rng.Float64() - 30
		hi := lo + 60*rng.Float64()*float64(rng.IntN(4))
		got := w.leastTorque(lo, hi, 0)
		// The sum is convex: thirds close in on its minimum.
		a, b := lo, hi
		for range 100 {
			l, r := a+(b-a)/3, b-(b-a)/3
			x, _, _ := w.torqueAt(l)
			y, _, _ := w.torqueAt(r)
			if x < y {
				b = r
			} else {
				a = l
			}
		}
		if want, _, _ := w.torqueAt(a); !(got <= want) {
			t.Errorf("round %d: bound %v from %v to %v, timing %v gives %v", n, got, lo, hi, a, want)
		}
	}
}
