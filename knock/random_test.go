package knock

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// Engines and running points drawn from all of their valid ranges, most of them absurd:
// each must be answered with finite numbers in order or refused, and never panic.
func TestAnyEngineAnywhere(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 11))
	uniform := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	answered, refused := 0, 0
	engines := 50
	if testing.Short() {
		engines = 14
	}
	for i := range engines {
		stroke := uniform(0.03, 0.3)
		mon := uniform(60, 105)
		e := Engine{Cylinders: 1 + r.IntN(16), Bore: uniform(0.03, 0.3), Stroke: stroke, Rod: stroke * uniform(0.9, 2.5),
			PinOffset: stroke * uniform(-0.03, 0.03), CompressionRatio: uniform(4, 16), Fuel: Fuel{RON: mon + uniform(0, 12), MON: mon, Ethanol: uniform(0, 1)},
			K: uniform(-1, 1.5), Chamber: Chamber(r.IntN(4)), Overlap: uniform(-40, 140), Mixture: uniform(0.7, 1.5),
			InletClose: uniform(90, 175), ExhaustOpen: uniform(90, 175), WallHeat: uniform(0.3, 3), Friction: uniform(0.3, 3)}
		m, err := New(e)
		if err != nil {
			t.Errorf("engine %d: %v", i, err)
			continue
		}
		ambient := uniform(5e4, 1.1e5)
		cond := Condition{RPM: uniform(300, 9000), InletPressure: uniform(1.5e4, 2.5e5), InletTemperature: uniform(230, 420),
			Ambient: ambient, Coolant: uniform(270, 400), Dilution: uniform(0, 0.3), Humidity: uniform(0, 0.04)}
		if i%2 == 0 { // every other one is nearer to life
			cond = Condition{RPM: uniform(700, 6000), InletPressure: uniform(0.5, 0.98) * 101325}
		}
		w, err := m.SparkRequirement(cond)
		if err != nil {
			if !errors.Is(err, errRange) {
				t.Errorf("engine %d at %+v: %v", i, cond, err)
			}
			refused++
			continue
		}
		answered++
		for name, x := range map[string]float64{"MBT": w.MBT, "late": w.MBTLate, "early": w.MBTEarly, "low": w.MBTLow, "high": w.MBTHigh,
			"torque": w.Torque, "half": w.HalfBurned, "peak": w.PeakPressure, "limit": w.KLSA, "limit low": w.KLSALow, "limit high": w.KLSAHigh} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Errorf("engine %d at %+v: %s is %g", i, cond, name, x)
			}
		}
		if !(w.MBTLow <= w.MBT && w.MBT <= w.MBTHigh && w.MBTLate < w.MBT && w.MBT < w.MBTEarly && w.KLSALow <= w.KLSA && w.KLSA <= w.KLSAHigh) {
			t.Errorf("engine %d at %+v: out of order %+v", i, cond, w)
		}
		if _, err := m.Calibrate(context.Background(), Observation{Condition: cond, Spark: uniform(-15, 60)}); err != nil && !errors.Is(err, errRange) {
			t.Errorf("engine %d: calibration %v", i, err)
		}
		if loss, err := m.TorqueLoss(cond, uniform(-20, 80)); err == nil && !(loss >= 0 && loss <= 1) {
			t.Errorf("engine %d: torque loss %g", i, loss)
		}
	}
	t.Logf("%d answered, %d refused", answered, refused)
	if answered < 2*engines/5 {
		t.Errorf("only %d of %d answered", answered, engines)
	}
}
