package simulated_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/examples/learnedparts/simulated"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
)

// Every seed has its distributor: the mechanism and what is listed of it are good ones,
// and any pair of its springs is read, so many times, at speeds and angles that are
// numbers.
func FuzzDraw(tf *testing.F) {
	f := fuzzing.New(tf)
	for i := range uint64(4) {
		f.Add(i, i%2 == 0, i > 1, 0.7+0.2*float64(i), uint8(6+i))
	}
	f.Add(^uint64(0), true, true, 1e300, uint8(1))
	f.Add(uint64(18446744073692774399), false, true, 1e300, uint8(0)) // a single reading
	f.Fuzz(func(t *testing.T, seed uint64, slot, slack bool, factor float64, count uint8) {
		rng := rand.New(rand.NewPCG(seed, 1))
		d := simulated.Draw(rng, slot, slack)
		if d == nil {
			t.Fatalf("no distributor of seed %d", seed)
		}
		if err := d.Mechanism.Check(); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
		listed := d.Listed(rng, map[string]float64{"a": factor})
		m := listed.Mechanism
		if err := m.Check(); err != nil {
			t.Errorf("seed %d: listed: %v", seed, err)
		}
		light := simulated.Usual
		light.Readings = 1 + int(count)
		for _, pair := range []string{"ab", "a", "", "zz"} {
			c := simulated.Parts(pair, "v")
			curve := d.Curve(c)
			run := d.Read(rng, c, light, "")
			if len(run.Readings) != light.Readings {
				t.Errorf("seed %d: %d readings, want %d", seed, len(run.Readings), light.Readings)
			}
			for _, r := range run.Readings {
				if !(r.RPM >= 1 && r.RPM < 10000) || !(math.Abs(r.Degrees) < 100) {
					t.Errorf("seed %d, %s: read %v", seed, pair, r)
				}
			}
			if pair == "ab" && !(curve.Theta(100, flyweights.Rising) >= 0) {
				t.Errorf("seed %d: turns by %g", seed, curve.Theta(100, flyweights.Rising))
			}
		}
		off := d.Off("b", factor)
		if got := off.Advance(simulated.Parts("ab", ""), 2000); !(math.Abs(got) < 100) {
			t.Errorf("seed %d: a spring %g times as stiff: %g degrees", seed, factor, got)
		}
	})
}
