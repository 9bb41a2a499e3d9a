package knock

import (
	"context"
	"errors"
	"math"
	"reflect"
	"runtime"
	"testing"
)

// One observation moves the limit to where it was heard and narrows the band; a
// second at another speed narrows the band there; a best timing does the same for
// MBT.
func TestCalibration(t *testing.T) {
	m := newModel(t, example())
	at := func(m *Model, c Condition) SparkRequirement {
		w, err := m.SparkRequirement(c)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	slow, fast := Condition{RPM: 2000}, Condition{RPM: 3200}
	prior := at(m, slow)
	for _, heard := range []float64{prior.KLSA - 7, prior.KLSA, prior.KLSA + 7} {
		one, err := m.Calibrate(context.Background(), Observation{Condition: slow, Kind: TraceKnock, Spark: heard})
		if err != nil {
			t.Fatal(err)
		}
		w := at(one, slow)
		t.Logf("heard at %.1f: limit %.1f (%.1f to %.1f), before %.1f (%.1f to %.1f)", heard, w.KLSA, w.KLSALow, w.KLSAHigh, prior.KLSA, prior.KLSALow, prior.KLSAHigh)
		// The prior has its say: a deviation of one degree against one of five or six.
		if !(math.Abs(w.KLSA-heard) <= 0.6) {
			t.Errorf("heard at %g, limit %g", heard, w.KLSA)
		}
		if !(w.KLSALow < heard && heard < w.KLSAHigh) || !(w.KLSAHigh-w.KLSALow < 0.4*(prior.KLSAHigh-prior.KLSALow)) {
			t.Errorf("band %g to %g after one observation, %g to %g before", w.KLSALow, w.KLSAHigh, prior.KLSALow, prior.KLSAHigh)
		}
		two, err := one.Calibrate(context.Background(), Observation{Condition: fast, Kind: TraceKnock, Spark: at(one, fast).KLSA - 3})
		if err != nil {
			t.Fatal(err)
		}
		a, b := at(one, fast), at(two, fast)
		if !(b.KLSAHigh-b.KLSALow < 0.7*(a.KLSAHigh-a.KLSALow)) || !(b.KLSA < a.KLSA) {
			t.Errorf("at 3200 rpm: %g to %g after two, %g to %g after one", b.KLSALow, b.KLSAHigh, a.KLSALow, a.KLSAHigh)
		}
	}
	best, err := m.Calibrate(context.Background(), Observation{Condition: slow, Kind: BestTorque, Spark: prior.MBT + 4})
	if err != nil {
		t.Fatal(err)
	}
	w := at(best, slow)
	if !(w.MBT > prior.MBT+2.5 && w.MBT < prior.MBT+4) || !(w.MBTHigh-w.MBTLow < 0.5*(prior.MBTHigh-prior.MBTLow)) {
		t.Errorf("best torque at %g: MBT %g (%g to %g), before %g", prior.MBT+4, w.MBT, w.MBTLow, w.MBTHigh, prior.MBT)
	}
}

// Bayes' rule for one linear observation is known in closed form.
func TestUpdateIsKalman(t *testing.T) {
	prior := priorDistribution(priorDeviations{}.sigma(false, false))
	var slopes parameters
	for k := range slopes {
		slopes[k] = float64(k%5) - 1.5
	}
	const seen, noise = 3.0, 0.8
	post, err := prior.update(context.Background(), &search{}, 1, func(mean *parameters, _ int, _ bool) (float64, parameters) {
		value := 0.0
		s := slopes
		for k := range s {
			value += s[k] * mean[k]
			s[k] /= noise
		}
		return (value - seen) / noise, s
	})
	if err != nil {
		t.Fatal(err)
	}
	value := 0.0
	for k := range slopes {
		value += slopes[k] * prior.mean[k]
	}
	before := prior.spread(&slopes)
	gain := before * before / (before*before + noise*noise)
	got := 0.0
	for k := range slopes {
		got += slopes[k] * post.mean[k]
	}
	report(t, "posterior mean of what was observed", value+gain*(seen-value), got, 1e-6)
	report(t, "posterior deviation of it", before*math.Sqrt(1-gain), post.spread(&slopes), 1e-6)
}

// A curve laid on the limit needs the octane of the tank, and a fuel of the octane a
// curve needs knocks on that curve.
func TestOctaneRoundTrip(t *testing.T) {
	e := example()
	e.Fuel = Fuel{RON: 93, MON: 93}
	m := newModel(t, e)
	wants, err := m.Each(context.Background(), []Condition{{RPM: 1200}, {RPM: 2000}, {RPM: 3000}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range wants {
		index, _, _, err := m.OctaneRequirement(Condition{RPM: w.RPM}, w.KLSA)
		if err != nil {
			t.Fatal(err)
		}
		report(t, "octane of the tank at its limit", 93, index, 0.03)
	}
	harder := wants[1].KLSA + 6
	index, _, _, err := m.OctaneRequirement(Condition{RPM: 2000}, harder)
	if err != nil {
		t.Fatal(err)
	}
	better, err := m.WithFuel(Fuel{RON: index, MON: index})
	if err != nil {
		t.Fatal(err)
	}
	w, err := better.SparkRequirement(Condition{RPM: 2000})
	if err != nil {
		t.Fatal(err)
	}
	report(t, "limit of the fuel that a curve needs, deg", harder, w.KLSA, 0.03)
}

// The answers of a full-load curve keep their order, and progress is told one by one.
func TestFullLoad(t *testing.T) {
	m := newModel(t, example())
	done := 0
	wants, err := m.Each(context.Background(), []Condition{{RPM: 900}, {RPM: 1800}, {RPM: 2700}, {RPM: 4200}}, func(n, total int) {
		if n != done+1 || total != 4 {
			t.Errorf("progress %d of %d after %d", n, total, done)
		}
		done = n
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range wants {
		if !(w.KLSALow <= w.KLSA && w.KLSA <= w.KLSAHigh) || (w.KnockLimited && !(w.KLSALow < w.KLSA && w.KLSA < w.KLSAHigh)) {
			t.Errorf("%g rpm: limit %+v", w.RPM, w)
		}
		if !(w.MBTLow < w.MBT && w.MBT < w.MBTHigh) {
			t.Errorf("%g rpm: MBT %+v", w.RPM, w)
		}
	}
}

// A single cycle tells the same as the search: it knocks beyond the limit and not
// before it, with end gas still unburned.
func TestCycleAgreesWithLimit(t *testing.T) {
	m := newModel(t, example())
	cond := Condition{RPM: 2000}
	w, err := m.SparkRequirement(cond)
	if err != nil {
		t.Fatal(err)
	}
	before, err := m.Cycle(cond, w.KLSA-0.1)
	if err != nil {
		t.Fatal(err)
	}
	after, err := m.Cycle(cond, w.KLSA+5)
	if err != nil {
		t.Fatal(err)
	}
	if before.Knocks || before.Onset != 0 || !after.Knocks || !(after.Unburned > 0.05 && after.Unburned < 0.6) {
		t.Errorf("just before the limit %v, 5 degrees after it %v with %g unburned", before.Knocks, after.Knocks, after.Unburned)
	}
	best, err := m.Cycle(cond, w.MBT)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(best.Torque/w.Torque-1) <= 1e-9) || !(math.Abs(best.Half-w.HalfBurned) <= 1e-9) || len(best.Samples) < 50 {
		t.Errorf("at MBT: torque %g and %g, half burned %g and %g", best.Torque, w.Torque, best.Half, w.HalfBurned)
	}
	if _, err := m.Cycle(cond, math.NaN()); !errors.Is(err, errRange) {
		t.Errorf("no spark: got %v", err)
	}
}

// At light load the limit is not met: that is an answer.
func TestNotKnockLimited(t *testing.T) {
	e := example()
	e.Fuel = Fuel{RON: 98, MON: 88}
	m := newModel(t, e)
	w, err := m.SparkRequirement(Condition{RPM: 2500, InletPressure: 45e3})
	if err != nil {
		t.Fatal(err)
	}
	if w.KnockLimited || !(math.Abs(w.KLSA-math.Min(w.MBT+beyondBest, latestSearch)) <= 1e-9) || !(w.KLSAHigh == w.KLSA) {
		t.Errorf("cruise: %+v, want no limit up to %g", w, w.MBT+beyondBest)
	}
}

// Running points asked together answer like single questions, on any number of processors.
func TestEachIsTheSameEverywhere(t *testing.T) {
	m := newModel(t, example())
	conditions := []Condition{{RPM: 1200}, {RPM: 2000}, {RPM: 2000, InletPressure: 60e3}, {RPM: 2000, InletTemperature: 320},
		{RPM: 2000, Ambient: 8e4}, {RPM: 2000, Mixture: 0.95}}
	ask := func() []SparkRequirement {
		all, err := m.Each(context.Background(), conditions, nil)
		if err != nil {
			t.Fatal(err)
		}
		return all
	}
	all := ask()
	before := runtime.GOMAXPROCS(0)
	defer runtime.GOMAXPROCS(before)
	for _, procs := range []int{1, 2, 8} {
		runtime.GOMAXPROCS(procs)
		if other := ask(); !reflect.DeepEqual(all, other) {
			t.Errorf("%d processors give other answers", procs)
		}
	}
	for i, c := range conditions {
		w, err := m.SparkRequirement(c)
		if err != nil {
			t.Fatal(err)
		}
		if w != all[i] {
			t.Errorf("together %+v, single %+v", all[i], w)
		}
		if i != 1 && w.KLSA == all[1].KLSA {
			t.Errorf("%+v changes nothing", c)
		}
	}
}

// More octane raises the limit, more compression lowers it.
func TestLimitOverFuelAndCompression(t *testing.T) {
	m := newModel(t, example())
	higher, err := m.WithCompressionRatio(9.5)
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(-1)
	for _, ron := range []float64{91, 95, 99} {
		var klsa [2]float64
		for i, engine := range []*Model{m, higher} {
			n, err := engine.WithFuel(Fuel{RON: ron, MON: ron - 10})
			if err != nil {
				t.Fatal(err)
			}
			w, err := n.SparkRequirement(Condition{RPM: 2000})
			if err != nil {
				t.Fatal(err)
			}
			klsa[i] = w.KLSA
		}
		if !(klsa[0] > last && klsa[1] < klsa[0]) {
			t.Errorf("RON %g: limit %.2f, at 9.5 to 1 %.2f, with less octane %.2f", ron, klsa[0], klsa[1], last)
		}
		last = klsa[0]
	}
}

func TestStopAndRefuse(t *testing.T) {
	m := newModel(t, example())
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := m.Each(stopped, []Condition{{RPM: 2000}}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: got %v", err)
	}
	nan := math.NaN()
	high := Observation{Condition: Condition{RPM: 2000}, Spark: 200}
	refused := map[string]error{}
	_, refused["speed"] = m.SparkRequirement(Condition{RPM: nan})
	_, refused["inlet"] = m.SparkRequirement(Condition{RPM: 2000, InletPressure: -1})
	_, refused["mixture"] = m.SparkRequirement(Condition{RPM: 2000, Mixture: 3})
	_, refused["spark"] = m.TorqueLoss(Condition{RPM: 2000}, nan)
	_, refused["no torque"] = m.TorqueLoss(Condition{RPM: 5000, InletPressure: 25e3}, 20)
	_, refused["observation"] = m.Calibrate(context.Background(), high)
	_, refused["kind"] = m.Calibrate(context.Background(), Observation{Condition: Condition{RPM: 2000}, Kind: 7})
	_, refused["sigma"] = m.Calibrate(context.Background(), Observation{Condition: Condition{RPM: 2000}, Sigma: nan})
	_, refused["fuel"] = m.WithFuel(Fuel{})
	_, refused["ratio"] = m.WithCompressionRatio(nan)
	_, _, _, refused["octane, spark"] = m.OctaneRequirement(Condition{RPM: 2000}, 81)
	_, _, _, refused["octane, no speed"] = m.OctaneRequirement(Condition{}, 20)
	_, refused["volume"] = example().Volume(nan)
	for name, err := range refused {
		if !errors.Is(err, errRange) {
			t.Errorf("%s: got %v, want a refusal", name, err)
		}
	}
}
