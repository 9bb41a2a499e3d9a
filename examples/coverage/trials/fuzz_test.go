package trials_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/examples/coverage/trials"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever is asked for: an error, or a table that counts every engine once in every
// row, no more of them than there are, and prints without a number that is none.
func FuzzRun(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(1, uint64(1), 0)
	f.Add(2, uint64(0), 4)
	f.Add(-1, ^uint64(0), 100)
	f.Add(1, uint64(1)<<63, 5)
	f.Add(math.MaxInt32, uint64(7), -6)
	f.Fuzz(func(t *testing.T, engines int, seed uint64, each int) {
		if engines > 2 && engines <= 1e6 {
			engines = 1 + engines%2
		}
		table, err := trials.Run(context.Background(), trials.Plan{Engines: engines, Seed: seed, Readings: each}, nil)
		if err != nil {
			return
		}
		for _, c := range table.Classes {
			if c.Engines > engines || c.Found > c.Slips || c.Mistaken > c.Good {
				t.Errorf("%s: %+v of %d engines", c.Name, c, engines)
			}
			for _, r := range c.Rows {
				if r.TwoSided+r.OneSided+r.Unknown != c.Engines || r.Held > r.TwoSided || r.OneHeld > r.OneSided || !(r.Width >= 0) {
					t.Errorf("%s: %+v of %d engines", c.Name, r, c.Engines)
				}
			}
		}
		if all := table.Classes[0]; all.Engines != engines {
			t.Errorf("%d engines counted, want %d", all.Engines, engines)
		}
		var text strings.Builder
		if err := table.Write(&text); err != nil || strings.Contains(text.String(), "NaN") || strings.Contains(text.String(), "Inf") {
			t.Errorf("%v\n%s", err, text.String())
		}
	})
}
