package knock

import (
	"context"
	"errors"
	"math"
	"testing"
)

// counterRatio is the compression ratio of the rating engine at a reading of its
// counter: one digit lowers the cylinder by 0.0007 in of a stroke of 4.5 in (ASTM
// D2699, A2.2.1.1), and iso-octane, 919 in the guide table, stood at 7.55 (P. Pal et
// al., SAE 2018-01-0187).
func counterRatio(counter float64) float64 {
	const stroke = 4.5
	return 1 + stroke/(stroke/(7.55-1)-0.0007*(counter-919))
}

// rated is a point of the rating engine at which a published knock was met.
type rated struct {
	name                 string
	octane, ratio, spark float64
	rpm, air, mixture    float64 // K of the air before it meets the fuel
	develop, rapid       float64 // burn angles there, crank degrees
}

// model is the engine of ASTM D2699 and D2700, 82.55 by 114.3 mm, clean, with the burn
// angles of the point: half burned 8 to 9 degrees after top centre at 600 rpm as
// measured (C. P. Kolodziej, T. Wallner, Combustion Engines 171 (2017) 164: 8.8).
func (r rated) model(t *testing.T) (*Model, Condition) {
	t.Helper()
	e := NewEngine(1, 0.08255, 0.1143, 0.254, r.ratio, Fuel{RON: r.octane, MON: r.octane})
	e.InletClose, e.ExhaustOpen, e.Overlap = 146, 140, 5
	e.Develop, e.Rapid = 18, 21
	cond := Condition{RPM: r.rpm, InletTemperature: r.air, Coolant: 373, Mixture: r.mixture, InletPressure: 99e3, Humidity: 0.005}
	_, c := running(t, newModel(t, e), cond)
	burn := c.burn(r.spark)
	e.Develop *= r.develop / burn.Develop
	e.Rapid *= r.rapid / burn.Rapid
	m := newModel(t, e)
	m.posterior.mean[octane] += deposits // it is kept clean
	m.posterior.mean[heatSpeed] = 0      // its charge was measured
	m.torque = m.posterior
	return m, cond
}

// Trace knock in the rating engine. P. Pal et al., SAE 2018-01-0187, fig. 1: iso-octane
// at 7.55 to 1, 600 rpm; standard knock at a spark of 12.7 degrees with the knock point
// at 11.0 +- 1.0 after top centre, and a meter that reads nothing from 8 degrees on.
// The delay's scale is set to that 8. Standard knock, at 13 degrees and ratios from the
// guide tables A4.1 of ASTM D2699 and D2700 (counter 609, 726, 867, 919 for 80, 90, 98,
// 100 research, 749 for 90 motor with 19.4 degrees), lies 4.7 degrees beyond a trace, if
// that difference is the same everywhere: each limit must lie in the band that the
// model gives unasked. These are paraffinic fuels; the model's exponents are gasoline's.
func TestRatingEngine(t *testing.T) {
	// Measured with oil it is 6.43 at 726 (S. Choi et al., SAE 2018-01-0848, fig. 4):
	// ratios are known to 0.1.
	report(t, "compression ratio at counter 726", 6.43, counterRatio(726), 0.1)
	const beyond = 12.7 - 8
	air := 314.4 // 41.3 C, at which the mixture was measured to be 28.3 C
	for i, r := range []rated{
		{"iso-octane, meter at nothing", 100, 7.55, 8, 600, air, 1.12, 13, 15},
		{"research 80", 80, counterRatio(609), 13 - beyond, 600, air, 1.10, 14, 17},
		{"research 90", 90, counterRatio(726), 13 - beyond, 600, air, 1.10, 13.5, 16},
		{"research 98", 98, counterRatio(867), 13 - beyond, 600, air, 1.13, 13, 15.5},
		{"research 100", 100, counterRatio(919), 13 - beyond, 600, air, 1.12, 13, 15},
		{"motor 90", 90, counterRatio(749), 19.4 - beyond, 900, 435, 1.10, 14, 16.5},
	} {
		m, cond := r.model(t)
		w, err := m.SparkRequirement(cond)
		if err != nil {
			t.Fatal(err)
		}
		within(t, r.name+": trace knock, deg", r.spark, w.KLSA, r.spark-(w.KLSAHigh-w.KLSA), r.spark+(w.KLSA-w.KLSALow), "inside its own band")
		if i > 0 {
			continue
		}
		report(t, "limit that the delay's scale is set to, deg", r.spark, w.KLSA, 1)
		// Table 3 of that paper: a gas-exchange model fitted to the measured pressures. It
		// needs four times the heat of the port that formulas give (Choi et al.), which is
		// left out here: the charge is cooler, and the delay's scale makes up for it.
		_, c := running(t, m, cond)
		within(t, "burned gas in the charge, %", 6.04, 100*c.residual, 5, 7, "a sixth either way")
		within(t, "inlet closing, K", 408, c.t0, 363, 410, "406 to 410, less 45 for the heated port")
		standard, err := m.Cycle(cond, 12.7)
		if err != nil {
			t.Fatal(err)
		}
		// The mean cycle; the published points are those of cycles that knocked, the fast ones.
		within(t, "standard knock: onset, deg after top centre", 11, standard.Onset, 10, 16, "11.0 +- 1.0, and the mean cycle up to 4 later")
	}
}

// The octane that carburetted engines without electronic timing ask for at full throttle
// over compression ratio: 81, 87, 92, 96, 100, 104 at 6 to 11 to 1 (a table that public
// gasoline references print without naming its tests: common practice). Set 8 degrees
// late of best torque at 2000 rpm, as engines of the time were to live with their
// fuel, this model asks for the same within 3 numbers and 1.5 on the mean. The
// sensitivity of 9 is that of a premium of the time (common practice).
func TestOctaneOfCarburettedEngines(t *testing.T) {
	const late, sensitivity = 8, 9
	sum, n := 0.0, 0.0
	for ratio, published := range map[float64]float64{6: 81, 7: 87, 8: 92, 9: 96, 10: 100, 11: 104} {
		e := example()
		e.CompressionRatio, e.Fuel = ratio, Fuel{RON: 95, MON: 95 - sensitivity}
		m := newModel(t, e)
		w, err := m.SparkRequirement(Condition{RPM: 2000})
		if err != nil {
			t.Fatal(err)
		}
		need, low, high, err := m.OctaneRequirement(Condition{RPM: 2000}, w.MBT-late)
		if err != nil {
			t.Fatal(err)
		}
		rated := func(index float64) float64 { return index + m.engine.K*sensitivity }
		within(t, "research octane asked for", published, rated(need), published-3, published+3, "3 numbers")
		if !(published > rated(low) && published < rated(high)) {
			t.Errorf("ratio %g: %g outside the band %g to %g", ratio, published, rated(low), rated(high))
		}
		sum, n = sum+rated(need)-published, n+1
	}
	if !(math.Abs(sum/n) <= 1.5) {
		t.Errorf("off by %.2f octane numbers on the mean", sum/n)
	}
}

// "The effects of varying spark timing on the performance and emission characteristics
// of a gasoline engine: a study on Saudi Arabian RON91 and RON95", Fuel 180 (2016) 558
// (abstract): a single-cylinder engine of 9.5 to 1 at full throttle, 2500 rpm and the
// correct mixture gained power and efficiency up to a spark of 28 degrees, the most
// tried, on both fuels: the high end of the band must reach there. Its sizes and the
// motor octane numbers are not told and are taken as usual.
func TestResearchEngineCarriesItsSpark(t *testing.T) {
	for _, fuel := range []Fuel{{RON: 91, MON: 83}, {RON: 95, MON: 85}} {
		e := NewEngine(1, 0.086, 0.086, 0.1435, 9.5, fuel)
		e.Chamber, e.K = Compact, 0.1
		w, err := newModel(t, e).SparkRequirement(Condition{RPM: 2500, Mixture: 1})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("RON %g: best torque %.1f, limit %.1f (%.1f to %.1f)", fuel.RON, w.MBT, w.KLSA, w.KLSALow, w.KLSAHigh)
		if !(w.KLSAHigh > 28) {
			t.Errorf("RON %g: limit at most %g, published more than 28", fuel.RON, w.KLSAHigh)
		}
	}
}

// The octane that a ratio is known to ask for takes a fifth off the band of an engine of
// which nothing is known, and, the limit being tied to best torque by it, more than half
// where a best timing has been found too. A ratio beyond the table is refused.
func TestOctaneByRatio(t *testing.T) {
	m := newModel(t, example())
	known, err := m.OctaneByRatio()
	if err != nil {
		t.Fatal(err)
	}
	width := func(told ...Observation) float64 {
		after, err := m.Calibrate(context.Background(), told...)
		if err != nil {
			t.Fatal(err)
		}
		w, err := after.SparkRequirement(Condition{RPM: 2000})
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("limit at 2000 rpm %.1f (%.1f to %.1f) after %d observations", w.KLSA, w.KLSALow, w.KLSAHigh, len(told))
		return w.KLSAHigh - w.KLSALow
	}
	plain := width()
	if alone := width(known); !(alone < 0.85*plain) {
		t.Errorf("band %g wide after %g", alone, plain)
	}
	best := Observation{Condition: Condition{RPM: 2500}, Kind: BestTorque, Spark: 32}
	if both := width(known, best); !(both < 0.5*plain) {
		t.Errorf("with best torque band %g wide after %g", both, plain)
	}
	high, err := m.WithCompressionRatio(12)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := high.OctaneByRatio(); !errors.Is(err, errRange) {
		t.Errorf("ratio 12: got %v", err)
	}
}
