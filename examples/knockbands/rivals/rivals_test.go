package rivals

import (
	"math"
	"testing"
)

// The engines are engines: best torque, mean pressure, half-burned angle and the torque
// lost by ten degrees of retard lie where handbooks have them (J. B. Heywood (1988), ch.
// 9 and 15, from memory, with room for designs), and every class of law is drawn.
func TestEnginesAreEngines(t *testing.T) {
	laws := map[string]int{}
	for i := range uint64(60) {
		e := Draw(i)
		for _, law := range []string{e.Law.Delay, e.Law.Wall, e.Law.Filling, e.Law.Warming} {
			laws[law]++
		}
		best := e.BestSpark(2000)
		at, late := e.cycle(2000, best), e.cycle(2000, best-10)
		swept := math.Pi / 4 * e.Bore * e.Bore * e.Stroke
		for name, v := range map[string][3]float64{
			"best spark, deg":               {best, 15, 54},
			"mean pressure, bar":            {at.work / swept / 1e5, 6, 12.5},
			"half burned, deg":              {at.half, 3, 14},
			"highest pressure, bar":         {at.peak / 1e5, 22, 75},
			"torque lost by 10 deg late, %": {100 * (1 - late.work/at.work), 1.7, 5},
		} {
			if !(v[0] >= v[1] && v[0] <= v[2]) {
				t.Errorf("engine %d %+v: %s %.2f outside %g to %g", i, e.Law, name, v[0], v[1], v[2])
			}
		}
	}
	if len(laws) != 4+3+3+3 {
		t.Errorf("laws drawn: %v", laws)
	}
}

// At the anchor the octane asked for is that of carburetted engines, give or take: the
// limit at 2000 rpm lies on both sides of eight degrees late of best torque.
func TestLevels(t *testing.T) {
	sum, n := 0.0, 0.0
	for i := range uint64(60) {
		e := Draw(i)
		limit, found := e.Limit(2000)
		if found {
			sum, n = sum+limit-e.BestSpark(2000)+8, n+1
		}
	}
	if mean := sum / n; !(n >= 50 && math.Abs(mean) <= 3) {
		t.Errorf("%g limits lie %.1f deg from the anchor on the mean", n, mean)
	}
}
