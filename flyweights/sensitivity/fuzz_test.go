package sensitivity

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Any spring, weight and speed: the table is refused in words or holds numbers.
func FuzzAt(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(1500.0, 0.028, 1.5, 0.0, 0.05, 0.001, 100.0)
	f.Add(1500.0, 0.0305, 1.5, 0.001, 0.05, 0.0, 45.0)
	f.Add(1e300, 5e-324, 1e300, 1e300, 1e-300, 1e300, 1e6)
	f.Add(math.NaN(), math.Inf(1), 0.0, 0.0, 0.0, 0.0, math.NaN())
	f.Fuzz(func(t *testing.T, rate, free, initial, slack, mass, friction, omega float64) {
		m := simple(springs.Spring{Rate: rate, FreeLength: free, InitialTension: initial, Slack: slack})
		m.Weights[0].Mass, m.Friction.Moment = mass, friction
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			table, err := At(m, omega, dir)
			if err != nil && !errors.Is(err, valid.ErrRange) {
				t.Fatal(err)
			}
			for _, s := range table {
				if !valid.Finite(s.Value, s.PerUnit, s.Percent) || s.Name == "" || s.Unit == "" {
					t.Errorf("%+v", s)
				}
			}
		}
	})
}
