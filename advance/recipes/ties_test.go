package recipes

import "testing"

// Recipes whose first objectives differ by a rounding are alike in it, and the second
// decides; a difference that counts is not overruled.
func TestSecondObjectiveDecidesTies(t *testing.T) {
	at := func(torque, deviation float64) Recipe {
		return Recipe{TorqueGivenUp: torque, Deviation: deviation}
	}
	for _, c := range []struct {
		bandFirst bool
		a, b      Recipe // a is better
	}{
		{false, at(0.01+1e-12, 2), at(0.01, 3)},
		{false, at(0.01, 3), at(0.0101, 2)},
		{true, at(0.01, 2+1e-10), at(0.02, 2)},
		{true, at(0.02, 2), at(0.01, 2.1)},
	} {
		q := &plan{hasMBT: true, bandFirst: c.bandFirst}
		if got, back := q.compare(c.a, c.b), q.compare(c.b, c.a); !(got < 0 && back > 0) {
			t.Errorf("band first %v: torque given up %g, deviation %g against %g, %g: %d and %d, want the former first",
				c.bandFirst, c.a.TorqueGivenUp, c.a.Deviation, c.b.TorqueGivenUp, c.b.Deviation, got, back)
		}
	}
}
