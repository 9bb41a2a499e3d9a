package recipes

import (
	"math/rand/v2"
	"testing"

	"example.org/bobweight/advance"
)

// The knock limit over the squared speed is the limit over the speed, notches
// included, to less than what the table's own limits are loosened by.
func TestKnockLimitOverSquaredSpeed(t *testing.T) {
	o := oddities{rand.New(rand.NewPCG(31, 32))}
	for n := range 60 {
		p := shop(2, 1)
		p.Limits.Knock = o.curve(o.between(-10, 30), 5)
		if n == 0 {
			p.Limits.Knock = literal([]advance.Point{{RPM: 0, Degrees: 5}, {RPM: 6000, Degrees: 45}})
		}
		const margin = 1.5
		limit := p.knockLess(margin)
		for rpm := 100.0; rpm < 9000; rpm++ { // no engine runs slower
			omega := p.Drive.Omega(rpm)
			want, err := p.Limits.Knock.Held(rpm)
			if err != nil {
				t.Fatal(err)
			}
			got := limit.at(omega * omega)
			if !(abs(got-(want-margin)) <= 6e-4) {
				t.Fatalf("curve %d at %v rpm: %v, limit less margin is %v", n, rpm, got, want-margin)
			}
		}
	}
}
