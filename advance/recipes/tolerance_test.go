package recipes

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/stat/distuv"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// named returns a recipe of the scenario.
func named(t *testing.T, p *Problem, static, travel float64) *Recipe {
	t.Helper()
	r, _, err := p.Evaluate(Choice{Springs: []int{4, 6}, Posts: []int{0, 0}, Weights: 0}, static, travel)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func tolerance(t *testing.T, p *Problem, r *Recipe, s *Scatter) *Tolerance {
	t.Helper()
	tol, err := p.Tolerance(t.Context(), r, s)
	if err != nil {
		t.Fatal(err)
	}
	return tol
}

// certain takes all uncertainty out of the drawer.
func certain(p *Problem) {
	for i := range p.Drawer.Springs {
		s := &p.Drawer.Springs[i]
		s.RateSigma, s.TensionSigma, s.LengthSigma = 0, 0, 0
	}
	for i := range p.Drawer.Weights {
		p.Drawer.Weights[i].MassSigma = 0
	}
}

// sampling is how far a 2.5 % quantile of n normal samples may stand from its
// place, in sigmas, at four standard errors: sqrt(q(1-q)/n)/density.
func sampling(n int) float64 {
	z := distuv.UnitNormal.Quantile(0.025)
	return 4 * math.Sqrt(0.025*0.975/float64(n)) / distuv.UnitNormal.Prob(z)
}

// For small errors the band is that of first-order propagation: the root of the
// sum of squared effects of one sigma each, here from the exact curve.
func TestSmallErrorsPropagateToFirstOrder(t *testing.T) {
	p := shop(12, 2)
	for i := range p.Drawer.Springs {
		s := &p.Drawer.Springs[i]
		s.Spring.Slack = 0
		s.RateSigma, s.TensionSigma, s.LengthSigma = 0.002, 0.003, 5e-6
	}
	p.Drawer.Weights[0].MassSigma = 0.001
	r := named(t, p, 10, 24)
	rpm := []float64{1400, 1600, 1800}
	s := &Scatter{Static: 0.05, Light: 0.02, Samples: 100_000, Seed: 3, RPM: rpm}
	tol := tolerance(t, p, r, s)
	for i, n := range rpm {
		variance := s.Static*s.Static + s.Light*s.Light
		for k := range 8 { // rate, tension and length of two springs, two weights
			step := []float64{0.002, 0.003, 5e-6, 0.002, 0.003, 5e-6, 0.001, 0.001}[k]
			slope := fd.Derivative(func(x float64) float64 { return disturbed(t, r, k, x).at(n, flyweights.Rising) }, 0,
				&fd.Settings{Formula: fd.Central, Step: 0.2 * step})
			variance += slope * slope * step * step
		}
		want := math.Sqrt(variance)
		b := tol.Band[i]
		for _, side := range []float64{b.Median - b.Low, b.High - b.Median} {
			if got := side / -distuv.UnitNormal.Quantile(0.025); !(abs(got/want-1) <= sampling(s.Samples)+0.01) {
				t.Errorf("at %v rpm: sigma %v crank degrees, first order %v", n, got, want)
			}
		}
		if at := r.at(n, flyweights.Rising); !(abs(b.Median-at) <= 0.02*want+1e-3) {
			t.Errorf("at %v rpm: median %v, recipe %v", n, b.Median, at)
		}
	}
}

// disturbed is the recipe on the exact curve with one input changed by x.
func disturbed(t *testing.T, r *Recipe, k int, x float64) *Recipe {
	t.Helper()
	m := *r.Mechanism
	m.Springs = append([]flyweights.Spring(nil), m.Springs...)
	m.Weights = append([]flyweights.Weight(nil), m.Weights...)
	switch {
	case k >= 6:
		m.Weights[k-6].Mass *= 1 + x
	case k%3 == 0:
		m.Springs[k/3].Law.Rate *= 1 + x
	case k%3 == 1:
		m.Springs[k/3].Law.InitialTension += x
	default:
		m.Springs[k/3].Law.FreeLength += x
	}
	c, err := m.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	o := *r
	o.Curve = c
	return &o
}

// With one weight, an error of its mass is exactly an error of speed: omega^2 m
// is what balances the spring. So the quantiles of the spark are the curve read
// at scaled speeds. An error of the static timing shifts it.
func TestBandOfOneErrorIsExact(t *testing.T) {
	p := shop(12, 2)
	certain(p)
	p.Drawer.Weights[0].Weights = p.Drawer.Weights[0].Weights[:1]
	p.Drawer.Weights[0].MassSigma = 0.05
	p.Positions = p.Positions[:1]
	r, _, err := p.Evaluate(Choice{Springs: []int{5}, Posts: []int{0}}, 10, 24)
	if err != nil {
		t.Fatal(err)
	}
	s := &Scatter{Samples: 100_000, Seed: 9, RPM: []float64{1300, 1700, 2200}}
	if testing.Short() {
		s.Samples = 20_000
	}
	miss := sampling(s.Samples)
	for i, b := range tolerance(t, p, r, s).Band {
		for q, got := range map[float64]float64{0.025: b.Low, 0.975: b.High} {
			at := func(z float64) float64 { return r.at(s.RPM[i]*math.Sqrt(1+0.05*z), flyweights.Rising) }
			z := distuv.UnitNormal.Quantile(q)
			// The table's straight lines at 65 points err by up to 0.001 crank degrees.
			if lo, hi := at(z-miss)-1e-3, at(z+miss)+1e-3; !(got >= lo && got <= hi) {
				t.Errorf("at %v rpm the %v quantile is %v, exact %v to %v", s.RPM[i], q, got, lo, hi)
			}
		}
	}

	p.Drawer.Weights[0].MassSigma = 0
	s.Static = 0.7
	for i, b := range tolerance(t, p, r, s).Band {
		want := r.at(s.RPM[i], flyweights.Rising) - 1.959964*0.7 // normal quantile from any table
		if !(abs(b.Low-want) <= 0.7*miss+1e-3) {
			t.Errorf("at %v rpm the band begins at %v, exact %v", s.RPM[i], b.Low, want)
		}
	}
}

// A build without errors keeps or breaks the limits as Evaluate says, and then the
// odds are 1 or 0.
func TestCertainPartsGiveCertainOdds(t *testing.T) {
	p := shop(12, 2)
	certain(p)
	p.Limits.Total, p.Limits.IdleReading = Window{30, 33}, Window{8, 12}
	p.Drawer.Springs[4].MaxTension = 4
	for _, static := range []float64{9, 11, 14} {
		r, breaches, err := p.Evaluate(Choice{Springs: []int{4, 6}, Posts: []int{0, 0}, Weights: 0}, static, 22)
		if err != nil {
			t.Fatal(err)
		}
		tol := tolerance(t, p, r, &Scatter{Samples: 10})
		broken := 0
		for _, o := range tol.Limits {
			switch {
			case o.Nominal < 0 && o.Probability == 0:
				broken++
			case o.Nominal >= 0 && o.Probability == 1:
			default:
				t.Errorf("static %v: %s has margin %v and odds %v", static, o.Limit, o.Nominal, o.Probability)
			}
		}
		if broken != len(breaches) {
			t.Errorf("static %v: %d limits broken for sure, Evaluate names %v", static, broken, breaches)
		}
	}
}

// The part that matters is named: with one doubtful spring, that one is worth
// measuring, and knowing it sets out what it does.
func TestDoubtfulSpringIsWorthMeasuring(t *testing.T) {
	p := shop(12, 2)
	certain(p)
	p.Drawer.Springs[6].RateSigma = 0.2
	r := named(t, p, 10, 22)
	p.Limits.AllIn = Window{r.AllIn - 150, r.AllIn + 150}
	tol := tolerance(t, p, r, &Scatter{Samples: 20_000, Static: 0.01})
	if want := "spring coil 7 at right: rate"; tol.Main.Input != want {
		t.Errorf("main influence is %q, want %q", tol.Main.Input, want)
	}
	if len(tol.Measure) == 0 || tol.Measure[0].Part != "spring coil 7 at right" {
		t.Fatalf("measure %v, want the spring at right first", tol.Measure)
	}
	if !(tol.Measure[0].JointProbability > tol.JointProbability+0.1) {
		t.Errorf("measuring the spring lifts the odds from %v to %v only", tol.JointProbability, tol.Measure[0].JointProbability)
	}
}

func TestToleranceIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	p := shop(12, 2)
	r := named(t, p, 10, 22)
	s := DefaultScatter()
	s.Samples, s.Workers = 5500, 1
	one := tolerance(t, p, r, s)
	s.Workers = 3
	if d := cmp.Diff(one, tolerance(t, p, r, s)); d != "" {
		t.Errorf("(-1 worker, +3):\n%s", d)
	}
}

// Friction widens what lies between the sweeps, and the falling sweep carries
// the knock limit: odds there fall when friction is in doubt.
func TestFrictionReachesTheFallingSweep(t *testing.T) {
	p := shop(12, 2)
	certain(p)
	p.Mechanism.Friction = flyweights.Friction{Moment: 1e-3}
	r := named(t, p, 10, 22)
	at := r.points[3]
	edge := at.Falling + p.Limits.KnockMargin
	p.Limits.Knock = literal([]advance.Point{{RPM: at.RPM - 50, Degrees: edge + 40}, {RPM: at.RPM, Degrees: edge}, {RPM: at.RPM + 50, Degrees: edge + 40}})
	tol := tolerance(t, p, r, &Scatter{Samples: 20_000, Friction: 0.3})
	for _, o := range tol.Limits {
		if o.Limit == knockMarginKept {
			if !(abs(o.Probability-0.5) <= 4*0.5/math.Sqrt(20_000)+0.01) || !(abs(o.Nominal) <= 1e-3) {
				t.Errorf("on the limit's edge: margin %v, odds %v, want 0 and one half", o.Nominal, o.Probability)
			}
			return
		}
	}
	t.Error("knock margin is not among the limits")
}

// Where a margin is linear in the inputs, the shares of its variance are those of
// first-order propagation and sum to one.
func TestSharesOfALinearMarginSumToOne(t *testing.T) {
	p := shop(12, 2)
	certain(p)
	p.Limits = Limits{AdvanceAtIdle: true, Snap: true, Total: Window{20, 33}}
	r := named(t, p, 10, 22)
	tol := tolerance(t, p, r, &Scatter{Samples: 100_000, Static: 0.3, Light: 0.4, Slot: 5e-5})
	slot := p.Drive.CrankDegrees(5e-5 / p.Slot.Radius)
	variance := 0.3*0.3 + 0.4*0.4 + slot*slot
	want := map[string]float64{"static timing": 0.09 / variance, "light": 0.16 / variance, "slot travel": slot * slot / variance}
	sum := 0.0
	for _, in := range tol.Limits[0].Influences {
		sum += in.Share
		// Four standard errors of a squared correlation of 100,000 samples.
		if !(abs(in.Share-want[in.Input]) <= 0.013) {
			t.Errorf("%s has %v of the variance, first order %v", in.Input, in.Share, want[in.Input])
		}
	}
	if !(abs(sum-1) <= 0.013) {
		t.Errorf("shares sum to %v, want 1", sum)
	}
}

// Where the target has no MBT nothing is known of torque, of a build as of the
// recipe.
func TestNoTorqueWithoutMBT(t *testing.T) {
	p := shop(12, 2)
	p.Target = Target{Band: []BandPoint{{RPM: 1000, Low: 5, High: 8}, {RPM: 3000, Low: 20, High: 22}}}
	r := named(t, p, 10, 22)
	if got := tolerance(t, p, r, &Scatter{Samples: 100, Static: 1}).Torque; got != (Quantiles{}) || r.TorqueGivenUp != 0 {
		t.Errorf("builds give up %v, the recipe %v", got, r.TorqueGivenUp)
	}
}
