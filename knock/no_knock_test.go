package knock

import (
	"context"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"
)

var noKnockTrials = flag.Int("no-knock-trials", 60, "synthetic engines in the coverage test of a no-knock observation")

// Closed forms. A sharp no-knock observation at the middle of a wide prior leaves half a normal
// distribution: mean -sigma sqrt(2/pi), variance sigma^2 (1 - 2/pi). One far below
// the posterior says nothing; the general case against the integral itself.
func TestTiltedMoments(t *testing.T) {
	const wide = 1e8
	mean, variance, chance := tiltedMoments(0, wide)
	report(t, "half a normal: mean in deviations", -math.Sqrt(2/math.Pi), mean/math.Sqrt(wide), 1e-6)
	report(t, "half a normal: variance in its own", 1-2/math.Pi, variance/wide, 1e-6)
	report(t, "half a normal: chance", 0.5, chance, 1e-12)
	mean, variance, _ = tiltedMoments(-40, 9)
	report(t, "far below: mean", -40, mean, 1e-12)
	report(t, "far below: variance", 9, variance, 1e-12)
	for _, k := range []struct{ mean, variance float64 }{{1.5, 4}, {-2, 9}, {3, 1}, {0.2, 0.1}} {
		var zero, one, two float64
		const step = 1e-3
		deviation := math.Sqrt(k.variance)
		for x := -12.0; x <= 12; x += step {
			v := k.mean + deviation*x
			w := math.Exp(-x*x/2) / math.Sqrt(2*math.Pi) * step * math.Erfc(v/math.Sqrt2) / 2
			zero, one, two = zero+w, one+w*v, two+w*v*v
		}
		mean, variance, chance := tiltedMoments(k.mean, k.variance)
		report(t, "chance by quadrature", zero, chance, 1e-9)
		report(t, "mean by quadrature", one/zero, mean, 1e-9)
		report(t, "variance by quadrature", two/zero-one*one/zero/zero, variance, 1e-8)
	}
}

// The whole model against a method of its own: engines drawn from the posterior, each
// weighed by how likely it would have been silent. The posterior after the no-knock observation has
// the mean and spread of the weighed engines at the spark heard and, through the
// engine's physics, at another speed. What may be left is the bend of the model over
// the posterior, which is linearised (before any observation the linear deviation of the
// level at 3000 rpm already lies a tenth below that of draws, and closer to best
// torque the level bends more), and the draws' own scatter of 2 %, as about half of the
// engines are silent.
func TestNoKnockAgainstDraws(t *testing.T) {
	m := newModel(t, example())
	obs := Observation{Condition: Condition{RPM: 2000}, Kind: NoKnock, Spark: 22}
	after, err := m.Calibrate(context.Background(), obs)
	if err != nil {
		t.Fatal(err)
	}
	here, err := m.at(obs.Condition)
	if err != nil {
		t.Fatal(err)
	}
	there, err := m.at(Condition{RPM: 3000})
	if err != nil {
		t.Fatal(err)
	}
	draws := 3000
	if testing.Short() {
		draws = 600
	}
	r := rand.New(rand.NewPCG(7, 0x71756965))
	var weight, mean, square [3]float64
	for range draws {
		z := make([]float64, len(m.posterior.root))
		for k := range z {
			z[k] = r.NormFloat64()
		}
		w := m.posterior.at(z)
		v, _ := here.miss(&w, &obs)
		silent := math.Erfc(v/math.Sqrt2) / 2
		var c charge
		there.fill(&c, &w)
		for i, x := range [...]float64{v, c.knockLevel(22)} {
			weight[i], mean[i], square[i] = weight[i]+silent, mean[i]+silent*x, square[i]+silent*x*x
		}
	}
	check := func(what string, i int, got, spread float64) {
		mu := mean[i] / weight[i]
		deviation := math.Sqrt(square[i]/weight[i] - mu*mu)
		report(t, what+": mean, in deviations from the draws", 0, (got-mu)/deviation, 0.15)
		report(t, what+": deviation over that of the draws", 1, spread/deviation, 0.15)
	}
	v, slopes := here.miss(&after.posterior.mean, &obs)
	check("at the spark heard", 0, v, after.posterior.spread(&slopes))
	var c charge
	there.fill(&c, &after.posterior.mean)
	slopes = there.levelSlopes(&after.posterior.mean, 22)
	check("at 3000 rpm", 1, c.knockLevel(22), after.posterior.spread(&slopes))
}

// told is what an engine wants at a running point after observations.
func told(t *testing.T, m *Model, at Condition, obs ...Observation) SparkRequirement {
	t.Helper()
	n, err := m.Calibrate(context.Background(), obs...)
	if err != nil {
		t.Fatal(err)
	}
	w, err := n.SparkRequirement(at)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

// A no-knock observation raises the low end of the band and the best estimate, and the more the
// later it falls; a no-knock observation far below the band changes nothing; one that contradicts
// a trace knock is refused; the order of observations does not matter.
func TestNoKnockRaisesTheBand(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2500}
	before, err := m.SparkRequirement(at)
	if err != nil {
		t.Fatal(err)
	}
	last := before
	for _, spark := range []float64{before.KLSALow, before.KLSA, before.KLSA + 5} {
		w := told(t, m, at, Observation{Condition: at, Kind: NoKnock, Spark: spark})
		t.Logf("no knock at %.1f: limit %.1f (%.1f to %.1f)", spark, w.KLSA, w.KLSALow, w.KLSAHigh)
		if !(w.KLSA > last.KLSA && w.KLSALow > last.KLSALow && w.KLSAHigh-w.KLSALow < last.KLSAHigh-last.KLSALow) {
			t.Errorf("no knock at %.1f deg: %.2f (%.2f to %.2f) after %.2f (%.2f to %.2f)", spark, w.KLSA, w.KLSALow, w.KLSAHigh, last.KLSA, last.KLSALow, last.KLSAHigh)
		}
		last = w
	}
	silent := Observation{Condition: at, Kind: NoKnock, Spark: -15}
	w := told(t, m, at, silent)
	report(t, "limit after a no-knock observation far below it", before.KLSA, w.KLSA, 0.02)

	heard := Observation{Condition: at, Kind: TraceKnock, Spark: before.KLSA}
	early := Observation{Condition: at, Kind: TraceKnock, Spark: before.KLSA - 10}
	if _, err := m.Calibrate(context.Background(), early, Observation{Condition: at, Kind: NoKnock, Spark: before.KLSA + 10}); !errors.Is(err, errRange) {
		t.Errorf("no knock 20 deg beyond a trace knock: got %v, want a refusal", err)
	}
	one, two := Observation{Condition: at, Kind: NoKnock, Spark: before.KLSA + 2}, Observation{Condition: Condition{RPM: 3500}, Kind: NoKnock, Spark: before.KLSA + 6}
	a, b := told(t, m, at, one, heard, two), told(t, m, at, two, one, heard)
	report(t, "limit whatever the order", a.KLSA, b.KLSA, 0.01)
}

// What a no-knock observation leaves is, to how exactly the search settles, the half-cut normal of
// what was held before, told at the same point: the closed form of [hearing] at the
// end of all linearising.
func TestNoKnockIsTheCensoredNormal(t *testing.T) {
	m := newModel(t, example())
	for _, spark := range []float64{10, 22, 30} {
		obs := Observation{Condition: Condition{RPM: 2500}, Kind: NoKnock, Spark: spark}
		n, err := m.Calibrate(context.Background(), obs)
		if err != nil {
			t.Fatal(err)
		}
		p, err := m.at(obs.Condition)
		if err != nil {
			t.Fatal(err)
		}
		v, slopes := p.miss(&n.posterior.mean, &obs)
		centre, deviation := v, m.posterior.spread(&slopes)
		for k, s := range slopes {
			centre += s * (m.posterior.mean[k] - n.posterior.mean[k])
		}
		mean, variance, _ := tiltedMoments(centre, deviation*deviation)
		report(t, "mean after a no-knock observation, in deviations", mean/deviation, v/deviation, 2*convergence)
		report(t, "deviation after a no-knock observation over that before", math.Sqrt(variance)/deviation, n.posterior.spread(&slopes)/deviation, 2*convergence)
	}
}

// Beyond the spark at which a no-knock observation still tells something it tells no less and no
// more; before it, the later the more. The default of its error is the two degrees
// stated. A no-knock observation that one engine in a hundred would keep is believed, what none
// would is refused with spark and speed.
func TestInformativeRange(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2500}
	want, err := m.SparkRequirement(at)
	if err != nil {
		t.Fatal(err)
	}
	after := func(spark, sigma float64) SparkRequirement {
		return told(t, m, at, Observation{Condition: at, Kind: NoKnock, Spark: spark, Sigma: sigma})
	}
	near, edge, far := after(want.MBT+7, 0), after(want.MBT+10, 0), after(want.MBT+20, 0)
	if !(near.KLSALow < edge.KLSALow) || edge != far {
		t.Errorf("limit from %.2f after a no-knock observation 7 deg past best torque, %.2f at 10, %.2f at 20", near.KLSALow, edge.KLSALow, far.KLSALow)
	}
	if a, b := after(want.KLSA, 0), after(want.KLSA, 2); a != b {
		t.Errorf("error of a no-knock observation not given: %+v; 2 deg: %+v", a, b)
	}
	believed := 1.0
	for ratio := 8.5; ; ratio += 0.5 {
		m, err := m.WithCompressionRatio(ratio)
		if err != nil {
			t.Fatal(err)
		}
		obs := Observation{Condition: at, Kind: NoKnock, Spark: 30, Fuel: &Fuel{RON: 92, MON: 90}}
		p, err := m.observed(&obs)
		if err != nil {
			t.Fatal(err)
		}
		v, slopes := p.miss(&m.posterior.mean, &obs)
		deviation := m.posterior.spread(&slopes)
		_, _, chance := tiltedMoments(v, deviation*deviation)
		if _, err = m.Calibrate(context.Background(), obs); err == nil {
			believed = math.Min(believed, chance)
			continue
		}
		const said = "contradict"
		if !errors.Is(err, errRange) || !strings.Contains(err.Error(), said) || !(believed < 0.01) || !(chance < 0.01) {
			t.Errorf("no knock believed down to a chance of %.3g; at %.3g got %v, want a refusal with %q", believed, chance, err, said)
		}
		return
	}
}

// Trace knock and, a few degrees past it, no-knock observation: nothing unusual by ear. The limit
// moves up from the trace, the more the later the no-knock observation, and stays within the
// trace's own error of it.
func TestNoKnockPastATrace(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2500}
	want, err := m.SparkRequirement(at)
	if err != nil {
		t.Fatal(err)
	}
	last := want.KLSA
	for _, past := range []float64{0, 1, 2, 3} {
		w := told(t, m, at,
			Observation{Condition: at, Kind: TraceKnock, Spark: want.KLSA},
			Observation{Condition: at, Kind: NoKnock, Spark: want.KLSA + past})
		if !(w.KLSA > last && w.KLSA < want.KLSA+1) {
			t.Errorf("trace knock at %.1f deg, none %.0f later: limit %.2f, after %.2f", want.KLSA, past, w.KLSA, last)
		}
		last = w.KLSA
	}
}

// Honest observations settle: trace knock, heard twice a degree apart, and no-knock observation
// some degrees below it.
func TestNoKnockSettles(t *testing.T) {
	m := newModel(t, example())
	w := told(t, m, Condition{RPM: 3500},
		Observation{Condition: Condition{RPM: 3500}, Kind: TraceKnock, Spark: 42.338066701587366},
		Observation{Condition: Condition{RPM: 3000}, Kind: NoKnock, Spark: 33.86525188618012},
		Observation{Condition: Condition{RPM: 3500}, Kind: TraceKnock, Spark: 41.2580939655433},
		Observation{Condition: Condition{RPM: 3500}, Kind: NoKnock, Spark: 35.45212242522372})
	if mean := (42.338 + 41.258) / 2; !(w.KLSALow < mean && mean < w.KLSAHigh) {
		t.Errorf("trace knock at %.1f deg on average: limit %.1f (%.1f to %.1f)", mean, w.KLSA, w.KLSALow, w.KLSAHigh)
	}
}

// Synthetic engines that stay silent at a spark chosen beforehand, with errors that
// the model has no name for: the 90 % band holds their limit.
func TestNoKnockCoverage(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2500}
	const spark = 28
	w := told(t, m, at, Observation{Condition: at, Kind: NoKnock, Spark: spark})
	var mu sync.Mutex
	quiet, held := 0, 0
	err := parallel(context.Background(), *noKnockTrials, nil, func(trial int) error {
		q := newTruth(uint64(1000+trial), m.prior, m.burn)
		limit := math.Min(q.limit(t, m, at, 0), w.MBT+beyondBest)
		mu.Lock()
		defer mu.Unlock()
		if limit+2*q.noise[0] < spark {
			return nil // knock was heard
		}
		quiet++
		if limit >= w.KLSALow && limit <= w.KLSAHigh {
			held++
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	share, floor := float64(held)/float64(quiet), 0.9-2.5*math.Sqrt(0.09/float64(quiet))
	t.Logf("%d of %d engines silent at %d deg; limit %.1f (%.1f to %.1f) held %.1f %%, asked for at least %.1f %%", quiet, *noKnockTrials, spark, w.KLSA, w.KLSALow, w.KLSAHigh, 100*share, 100*floor)
	if !(share >= floor) {
		t.Errorf("band holds %.1f %% of silent engines, want %.1f %%", 100*share, 100*floor)
	}
}

// However many no-knock observations there are, and however alike, they settle: what is told twice
// tells no less, a mild one no more than nothing, and the order changes nothing.
func TestManyNoKnocks(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2000}
	after := func(obs ...Observation) SparkRequirement {
		t.Helper()
		return told(t, m, at, obs...)
	}
	var same, mild, proved []Observation
	last := math.Inf(-1)
	for k := range 8 {
		same = append(same, Observation{Condition: at, Kind: NoKnock, Spark: 25})
		w := after(same...)
		if !(w.KLSALow > last) {
			t.Errorf("%d observations: limit from %.2f, one less %.2f", k+1, w.KLSALow, last)
		}
		last = w.KLSALow
		mild = append(mild, Observation{Condition: Condition{RPM: 1000 + 150*float64(k)}, Kind: NoKnock, Spark: 2*float64(k) - 20})
	}
	if a, b := after(), after(mild...); !(b.KLSA >= a.KLSA && b.KLSA < a.KLSA+0.5) {
		t.Errorf("eight mild observations: limit %.2f after %.2f", b.KLSA, a.KLSA)
	}
	for _, rpm := range []float64{1200, 1800, 2400, 3000} {
		for _, spark := range []float64{18, 20, 22} {
			proved = append(proved, Observation{Condition: Condition{RPM: rpm}, Kind: NoKnock, Spark: spark})
		}
	}
	forth := after(proved...)
	slices.Reverse(proved)
	report(t, "limit of twelve observations, whatever the order", forth.KLSA, after(proved...).KLSA, 0.02)
	if _, err := m.Calibrate(context.Background(), make([]Observation, maxObservations+1)...); !errors.Is(err, errRange) {
		t.Errorf("%d observations: got %v", maxObservations+1, err)
	}
}

// Trace knock however far beyond best torque: the later it was heard, the limit is
// never put earlier, and never past where it was heard by more than the hearing's own
// error of a degree.
func TestLateTraceKnock(t *testing.T) {
	m := newModel(t, example())
	at := Condition{RPM: 2500}
	want, err := m.SparkRequirement(at)
	if err != nil {
		t.Fatal(err)
	}
	last := 0.0
	for spark := want.MBT; spark < 70; spark += 5 {
		w := told(t, m, at, Observation{Condition: at, Kind: TraceKnock, Spark: spark})
		if !(w.KLSA >= last && w.KLSA <= spark+1) {
			t.Errorf("trace knock at %.1f deg: limit %.2f, five degrees sooner %.2f", spark, w.KLSA, last)
		}
		last = w.KLSA
	}
}

// What was not heard moves the limit and leaves best torque where it is, alone and beside
// what was heard.
func TestNoKnockLeavesBestTorque(t *testing.T) {
	ctx := context.Background()
	m := newModel(t, example())
	silence := Observation{Condition: Condition{RPM: 2000}, Kind: NoKnock, Spark: 30}
	best := Observation{Condition: Condition{RPM: 2500}, Kind: BestTorque, Spark: 30}
	calibrated := func(m *Model, obs ...Observation) *Model {
		n, err := m.Calibrate(ctx, obs...)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for name, pair := range map[string][2]*Model{
		"alone":           {m, calibrated(m, silence)},
		"with the best":   {calibrated(m, best), calibrated(m, best, silence)},
		"after the best":  {calibrated(m, best), calibrated(calibrated(m, best), silence)},
		"before the best": {calibrated(m, best), calibrated(calibrated(m, silence), best)},
	} {
		for _, rpm := range []float64{2000, 4000, 5000} {
			without, err := pair[0].SparkRequirement(Condition{RPM: rpm})
			if err != nil {
				t.Fatal(err)
			}
			with, err := pair[1].SparkRequirement(Condition{RPM: rpm})
			if err != nil {
				t.Fatal(err)
			}
			// The residual gas is that of the whole posterior: some kelvin of the exhaust.
			report(t, name+": best torque after a silence", without.MBT, with.MBT, 0.3)
			if !(with.MBTLow > without.MBTLow-0.5 && with.MBTHigh < without.MBTHigh+0.5) {
				t.Errorf("%s: band %g to %g, %g to %g before", name, with.MBTLow, with.MBTHigh, without.MBTLow, without.MBTHigh)
			}
			if rpm == 2000 && !(with.KLSALow > without.KLSALow+1) {
				t.Errorf("%s: the limit's low edge %g, before %g", name, with.KLSALow, without.KLSALow)
			}
		}
	}
}
