package readings_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance/internal/balance"
	"example.org/bobweight/advance/readings"
)

// A pin on the weight in a slot of the cam bends the curve the other way, with shape
// parameters of 0.5 to 1.5, up to two and a half standard deviations of their law: the
// intervals hold there too.
func TestCurvesBentTheOtherWay(t *testing.T) {
	sets := 300
	if testing.Short() {
		sets = 80
	}
	held, of := map[string]int{}, map[string]int{}
	for k := range sets {
		rng := rand.New(rand.NewPCG(15, uint64(k)))
		c := balance.Curve{Start: 700 + 700*rng.Float64(), Shape: 0.5 + rng.Float64()}
		c.AllIn = c.Start + 900 + 1700*rng.Float64()
		at := c.Inverse()
		static, travel := 18*rng.Float64(), 14+20*rng.Float64()
		n := [4]int{6, 8, 12, 20}[rng.IntN(4)]
		low, high := 500+600*rng.Float64(), 2400+2600*rng.Float64()
		var rs []readings.Reading
		for i := range n {
			rpm := low + (high-low)*float64(i)/float64(n-1)
			rs = append(rs, readings.Reading{RPM: rpm + 25*rng.NormFloat64(), Degrees: static + travel*at.Travelled(rpm) + rng.NormFloat64()})
		}
		r := fit(t, rs, nil)
		count := func(name string, e readings.Estimate, is float64) {
			if e.Bound != readings.Interval {
				return
			}
			of[name]++
			if e.Covers(is) {
				held[name]++
			}
		}
		count("start", r.Start, c.Start)
		count("all-in", r.AllIn, c.AllIn)
		count("total", r.Total, static+travel)
		for _, n := range []float64{1400, 2000, 3000} {
			e, err := r.Band(n)
			if err != nil {
				t.Fatal(err)
			}
			count("advance", e, static+travel*at.Travelled(n))
		}
	}
	for name, n := range of {
		t.Logf("%s holds in %d of %d", name, held[name], n)
		if rate := float64(held[name]) / float64(n); !(rate >= 0.95-3*math.Sqrt(0.05*0.95/float64(n))) {
			t.Errorf("%s holds in %.1f %%", name, 100*rate)
		}
	}
}
