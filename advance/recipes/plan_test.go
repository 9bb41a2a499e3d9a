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

// A chord as long as can be leaves a straight limit, over the squared speed, by the
// half thousandth of a degree that is allowed: neither more, nor so much less that the
// corners multiply.
func TestLongestChordUsesWhatIsAllowed(t *testing.T) {
	for _, rpm := range []float64{300, 1000, 4000} {
		for _, slope := range []float64{0.001, 0.02, 1} { // crank degrees per rpm
			to := rpm + longestChord(rpm, slope)
			most := 0.0
			for i := range 1001 {
				part := float64(i) / 1000
				x := rpm + part*(to-rpm)
				onChord := (x*x - rpm*rpm) / (to*to - rpm*rpm) * slope * (to - rpm)
				most = max(most, abs(slope*(x-rpm)-onChord))
			}
			if !(most <= 5e-4*1.001 && most >= 5e-4*0.98) {
				t.Errorf("from %v rpm at %v deg/rpm the chord is off by %v", rpm, slope, most)
			}
		}
	}
}
