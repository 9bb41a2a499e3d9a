package knock

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/knock/internal/properties"
)

// running returns the charge of a running point under the model's mean.
func running(t testing.TB, m *Model, cond Condition) (*point, *charge) {
	t.Helper()
	p, err := m.at(cond)
	if err != nil {
		t.Fatal(err)
	}
	c := &charge{}
	p.fill(c, &m.posterior.mean)
	return p, c
}

// The first law closes over random engines at random running points and sparks, wherever
// the gas stays inside its tables.
func TestFirstLawOfRandomEngines(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	worst, cycles := 0.0, 0
	engines := 25
	if testing.Short() {
		engines = 6
	}
	for range engines {
		bore := between(0.06, 0.11)
		stroke := bore * between(0.7, 1.3)
		e := NewEngine(4, bore, stroke, stroke*between(1.5, 2), between(6, 12), Fuel{RON: 95, MON: 85})
		e.Chamber, e.PinOffset = Chamber(r.IntN(4)), stroke*between(-0.02, 0.02)
		e.InletClose, e.ExhaustOpen, e.Overlap = between(110, 140), between(115, 145), between(0, 60)
		e.WallHeat = between(0.5, 2)
		m := newModel(t, e)
		for range 4 {
			p, err := m.at(Condition{RPM: between(700, 6000), InletPressure: between(40e3, 100e3), Mixture: between(0.9, 1.25)})
			if err != nil {
				continue
			}
			var c charge
			p.fill(&c, &m.posterior.mean)
			for range 3 {
				if out := c.fire(between(-5, 50), nil); out.valid {
					worst, cycles = math.Max(worst, math.Abs(out.residualLaw)), cycles+1
				}
			}
		}
	}
	t.Logf("%d cycles: first law within %.2g of the fuel's energy", cycles, worst)
	if !(worst < 1e-6 && cycles > 8*engines) {
		t.Errorf("first law off by %.2g in %d cycles", worst, cycles)
	}
}

// The first law closes over every cycle, the zones fill the cylinder, and the work
// agrees with Simpson's rule over the pressure trace.
func TestConservation(t *testing.T) {
	e := example()
	e.PinOffset = 0.001
	m := newModel(t, e)
	worst, gap := 0.0, 0.0
	for _, rpm := range []float64{700, 1500, 2500, 4000, 6000} {
		for _, inlet := range []float64{45e3, 70e3, 99e3} {
			for _, phi := range []float64{0.9, 1.1, 1.25} {
				_, c := running(t, m, Condition{RPM: rpm, InletPressure: inlet, Mixture: phi})
				for spark := -8.0; spark <= 48; spark += 7 {
					out := c.fire(spark, nil)
					if !out.valid {
						t.Fatalf("%g rpm %g Pa phi %g spark %g: left the tables", rpm, inlet, phi, spark)
					}
					worst, gap = math.Max(worst, math.Abs(out.residualLaw)), math.Max(gap, math.Abs(out.gap))
				}
			}
		}
	}
	t.Logf("first law over 405 cycles: worst residual %.2g of the fuel's energy; volume of the zones off by %.2g", worst, gap)
	if !(worst < 1e-6) {
		t.Errorf("first-law residual %g, want below 1e-6", worst)
	}
	if !(gap < 5e-6) {
		t.Errorf("zones miss the cylinder's volume by %g, want below 5e-6", gap)
	}

	_, c := running(t, m, Condition{RPM: 2000})
	var samples trace
	out := c.fire(20, &samples)
	// An integral over the printed samples, the trapezoid with end correction left
	// out: good to the square of the step. At every sample the two zones together fill
	// the cylinder by their own gas laws.
	sum := 0.0
	for i := 1; i < len(samples.samples); i++ {
		a, b := samples.samples[i-1], samples.samples[i]
		sum += (a.Pressure + b.Pressure) / 2 * (b.Volume - a.Volume)
	}
	if !(math.Abs(sum/out.work-1) <= 3e-3) {
		t.Errorf("work %g J, trapezoid over the trace %g J", out.work, sum)
	}
	for _, s := range samples.samples {
		var b properties.Burned
		if s.Burned > 0 {
			c.mix.table.At(s.Burned, math.Log(s.Pressure), &b)
		}
		fills := c.mass * (s.Share*b.R*s.Burned + (1-s.Share)*c.r*s.Unburned) / (s.Pressure * s.Volume)
		if !(math.Abs(fills-1) <= 5e-6) {
			t.Errorf("at %g deg the zones fill %g of the cylinder", s.Degrees, fills)
		}
	}
}

// A trace changes nothing of the cycle. Its samples are in order, and the highest lies
// below the peak that is found between them by no more than a parabola falls in half a
// step, three parts in a thousand.
func TestTraceAgreesWithOutcome(t *testing.T) {
	m := newModel(t, example())
	_, c := running(t, m, Condition{RPM: 2000})
	var samples trace
	traced, plain := c.fire(25, &samples), c.fire(25, nil)
	if traced.work != plain.work || traced.integral != plain.integral || traced.peak != plain.peak {
		t.Errorf("tracing changes the cycle: %+v against %+v", traced, plain)
	}
	highest := 0.0
	for i, s := range samples.samples {
		highest = math.Max(highest, s.Pressure)
		if i > 0 && !(s.Degrees > samples.samples[i-1].Degrees) {
			t.Fatalf("sample %d at %g deg follows %g", i, s.Degrees, samples.samples[i-1].Degrees)
		}
	}
	if !(plain.peak >= highest && plain.peak <= highest*1.003) {
		t.Errorf("peak %g, highest sample %g", plain.peak, highest)
	}
}

// A cycle allocates nothing.
func TestNoAllocation(t *testing.T) {
	m := newModel(t, example())
	p, c := running(t, m, Condition{RPM: 2000})
	sum := 0.0
	if n := testing.AllocsPerRun(50, func() {
		p.fill(c, &m.posterior.mean)
		sum += c.fire(22, nil).integral
	}); n != 0 {
		t.Errorf("%v allocations in a cycle", n)
	}
	if !(sum > 0) {
		t.Error("no integral")
	}
}

// The first crossing from retard, not the last: past best torque the integral falls
// again, so there is a second one that a bracketing search could return.
func TestFirstCrossing(t *testing.T) {
	e := example()
	e.Fuel = Fuel{RON: 96, MON: 96}
	e.Develop, e.Rapid = 14, 18
	m := newModel(t, e)
	_, c := running(t, m, Condition{RPM: 3000, InletPressure: 60e3})
	s := c.sweepSparks(74)
	top, at := math.Inf(-1), 0
	for i := 0; i < s.n; i++ {
		if s.g[i] > top {
			top, at = s.g[i], i
		}
	}
	if at == s.n-1 {
		t.Fatalf("the integral rises to the end: %v", s.g[:s.n])
	}
	level := (top + s.g[s.n-1]) / 2
	x, ok := c.knockLimitedSpark(&s, threshold{level: level})
	if !ok || !(x < s.spark[at]) {
		t.Errorf("crossing at %g, found %v; the maximum is at %g", x, ok, s.spark[at])
	}
	if !(math.Abs(c.knockLevel(x)-level) <= 1e-3) {
		t.Errorf("level at the crossing %g, want %g", c.knockLevel(x), level)
	}
	if _, ok := c.knockLimitedSpark(&s, threshold{level: top + 1}); ok {
		t.Error("found a crossing above the maximum")
	}
}

// What the cycle loses to its walls is the published coefficient, speed and area.
func TestWallHeatIsThePublishedOne(t *testing.T) {
	e := example()
	m := newModel(t, e)
	_, c := running(t, m, Condition{RPM: 2600})
	var pl crankState
	const angle, pressure = 24.0, 3.1e6
	c.at(angle, 0, nil, &pl)
	speed, err := correlations.GasSpeed(2*e.Stroke*2600/60, c.crank.swept, c.t0, c.p0, c.v0, pressure, c.p0*math.Pow(c.v0/pl.v, polytrope))
	if err != nil {
		t.Fatal(err)
	}
	mean := c.t0 * pressure * pl.v / (c.p0 * c.v0)
	h, err := correlations.WallCoefficient(e.Bore, pressure, mean, speed)
	if err != nil {
		t.Fatal(err)
	}
	want := h * pl.wall / (6 * 2600)
	if got := c.conductance(knocking, math.Log(pressure), pressure, &pl); !(math.Abs(got/want-1) <= 1e-5) {
		t.Errorf("the cycle's walls take %g J per degree and kelvin, published %g", got, want)
	}
}
