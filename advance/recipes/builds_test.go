package recipes

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"gonum.org/v1/gonum/stat"
)

// A build meets the knock limit where its own curve bends as well as at the speeds
// asked: the margin of each of 300 builds is that of its exact curve, drawn by
// package flyweights, held against the limit at 5 rpm and at the curve's events.
// Tables of 65 points differ from it by up to 0.05 crank degrees.
func TestKnockMarginOfBuildsIsThatOfTheirCurves(t *testing.T) {
	for _, friction := range []float64{0, 4e-4} {
		p := shop(12, 2)
		p.Mechanism.Friction.Moment = friction
		p.Drawer.Springs[6].Spring.Slack = 0.002
		p.Drawer.Springs[6].Spring.InitialTension = 1.5 // a hold where it is taken up
		p.Limits.Knock, p.Limits.KnockEvery = literal([]advance.Point{{RPM: 500, Degrees: 8}, {RPM: 5000, Degrees: 44}}), 2000
		r := named(t, p, 10, 22)
		s := DefaultScatter()
		sm, err := p.sampler(r, s)
		if err != nil {
			t.Fatal(err)
		}
		sm.watch(sm.needed())
		sm.list()
		at := slices.IndexFunc(sm.limits, func(m marginOf) bool { return m.name == knockMarginKept })
		b, rng := sm.newBuild(), rand.New(rand.NewPCG(5, 5))
		bends := 0
		for range 300 {
			sm.draw(b, rng)
			got, want := sm.limits[at].margin(b), exactMargin(t, sm, b)
			if !(math.Abs(got-want) <= 0.05) {
				t.Fatalf("friction %v: margin %v, of the exact curve %v", friction, got, want)
			}
			asked := math.Inf(1)
			for i, x := range b.fall {
				limit, _ := p.Limits.Knock.Held(sm.rpm[i])
				asked = min(asked, limit-p.Limits.KnockMargin-max(x, b.rise[i]))
			}
			if want < asked-0.5 {
				bends++
			}
		}
		if bends < 100 {
			t.Errorf("friction %v: only %d of 300 builds come nearest at a bend: the test says little", friction, bends)
		}
	}
}

// exactMargin is a build's least distance below the knock limit on its own curve.
func exactMargin(t *testing.T, sm *sampler, b *build) float64 {
	t.Helper()
	p := sm.p
	m := *sm.r.Mechanism
	m.Springs, m.Weights = slices.Clone(m.Springs), slices.Clone(m.Weights)
	for i, law := range b.laws {
		m.Springs[i].Law = law
	}
	n := 3 * len(b.laws)
	for i := range m.Weights {
		m.Weights[i].Mass *= 1 + b.z[n+i]*sm.inputs[n+i].sigma
	}
	n += len(m.Weights)
	m.Friction.Moment *= max(0, 1+b.z[n+1]*sm.inputs[n+1].sigma)
	stop, err := p.swing(b.travel)
	if err != nil {
		t.Fatal(err)
	}
	m.Stop = stop
	curve, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	var speeds []float64
	for rpm := 500.0; rpm <= 5000; rpm += 5 {
		speeds = append(speeds, rpm)
	}
	// At a hold the curve stands upright: no room but for the events' own places.
	least, _ := headroom(p.Drive, p.Limits.Knock, speeds, curve)
	return least - b.static - p.Limits.KnockMargin
}

// The joint probability by itself is that of the whole tolerance, digit for digit,
// whatever limits are asked for.
func TestJointProbabilityIsThatOfTheTolerance(t *testing.T) {
	p := shop(12, 2)
	p.Mechanism.Friction.Moment = 3e-4
	r := named(t, p, 10, 22)
	other := p.Limits
	other.Total, other.Knock = Window{31, 33}, advance.Curve{}
	other.AdvanceAtIdle, other.IdleReading = true, Window{9, 10.5}
	for _, limits := range []*Limits{nil, &other} {
		s := DefaultScatter()
		s.Samples, s.Limits = 3000, limits
		got, err := p.JointProbability(t.Context(), r, s)
		if err != nil {
			t.Fatal(err)
		}
		if want := tolerance(t, p, r, s).JointProbability; got != want || !(want > 0 && want < 1) {
			t.Errorf("got %v, the tolerance says %v", got, want)
		}
	}
}

// Quantiles are those of gonum's sorted form.
func TestQuantilesAreThoseOfASortedSample(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for n := 1; n <= 3000; n = 2*n + 1 {
		for kind, draw := range []func(i int) float64{
			func(int) float64 { return rng.NormFloat64() },
			func(int) float64 { return float64(rng.IntN(3)) }, // ties
			func(i int) float64 { return float64(i) },
			func(i int) float64 { return float64((i * 7919) % 2) },
			func(int) float64 { return math.Inf(1) },
		} {
			x := make([]float64, n)
			for i := range x {
				x[i] = draw(i)
			}
			sorted := slices.Clone(x)
			slices.Sort(sorted)
			at := func(q float64) float64 { return stat.Quantile(q, stat.LinInterp, sorted, nil) }
			if got, want := quantiles(x), (Quantiles{at(0.025), at(0.5), at(0.975)}); got != want {
				t.Errorf("%d values of kind %d: got %v, sorted %v", n, kind, got, want)
			}
		}
	}
}

// One recipe is judged by several limits without being computed again: what a
// problem with those limits says of the same parts.
func TestJudgeIsEvaluateWithOtherLimits(t *testing.T) {
	p := shop(12, 2)
	r := named(t, p, 10, 22)
	other := *p
	other.Limits.Knock, other.Limits.KnockMargin = literal(lift(hookKnock, -6)), 3
	other.Limits.AllIn = Window{1000, 1100}
	got, err := p.Judge(r, &other.Limits)
	if err != nil {
		t.Fatal(err)
	}
	again, want, err := other.Evaluate(r.Choice, r.Static, r.Travel)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got, want) || len(want) < 2 {
		t.Errorf("judged %v, evaluated %v", got, want)
	}
	margin, rpm, err := r.MarginTo(other.Limits.Knock)
	if err != nil || margin != again.KnockMargin || rpm != again.KnockRPM {
		t.Errorf("margin %v at %v (%v), evaluated %v at %v", margin, rpm, err, again.KnockMargin, again.KnockRPM)
	}
	if _, err := r.At(2000, flyweights.Rising); err != nil {
		t.Error(err)
	}
}
