package entrained

import (
	"math"
	"testing"
)

// The engines are engines: best torque, mean pressure, half-burned angle and the torque
// lost by ten degrees of retard lie where handbooks have them, with room for designs.
func TestEnginesAreEngines(t *testing.T) {
	for i := range uint64(60) {
		e := Draw(i)
		best := e.BestSpark(2000)
		at, late := e.cycle(2000, best, 0), e.cycle(2000, best-10, 0)
		swept := math.Pi / 4 * e.bore * e.bore * e.stroke
		for name, v := range map[string][3]float64{
			"best spark, deg":               {best, 15, 54},
			"mean pressure, bar":            {at.work / swept / 1e5, 6, 12.5},
			"half burned, deg":              {at.half, 2, 14},
			"highest pressure, bar":         {at.peak / 1e5, 22, 75},
			"torque lost by 10 deg late, %": {100 * (1 - late.work/at.work), 1.5, 5},
		} {
			if !(v[0] >= v[1] && v[0] <= v[2]) {
				t.Errorf("engine %d: %s %.2f outside %g to %g", i, name, v[0], v[1], v[2])
			}
		}
	}
}

// The limit lies about where the engines were set, six to ten degrees late of best torque
// at 2000 rpm, and knock comes with spark.
func TestLevels(t *testing.T) {
	sum, n := 0.0, 0.0
	for i := range uint64(60) {
		e := Draw(i)
		if limit, found := e.Limit(2000); found {
			sum, n = sum+limit-e.BestSpark(2000)+8, n+1
			if !(e.worst(2000, limit) >= 1 && e.worst(2000, limit-0.1) < 1) {
				t.Errorf("engine %d: level %g at its limit, %g before it", i, e.worst(2000, limit), e.worst(2000, limit-0.1))
			}
		}
	}
	if mean := sum / n; !(n >= 50 && math.Abs(mean) <= 4) {
		t.Errorf("%g limits lie %.1f deg from the anchor on the mean", n, mean)
	}
}

// A cycle without a spark gives back what compression took but for the walls' share.
func TestMotored(t *testing.T) {
	e := Draw(1)
	e.wall.level = 0
	swept := math.Pi / 4 * e.bore * e.bore * e.stroke
	e.close = 125 // as far from top centre as the exhaust's opening
	if w := e.cycle(2000, -200, 0).work / swept; !(math.Abs(w) <= 2e3) {
		t.Errorf("motored mean pressure %g Pa, want none", w)
	}
}
