package knock

import (
	"context"
	"errors"
	"math"
	"testing"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
)

// Every question of the package, from valid engines and running points to hostile ones:
// each is answered with finite numbers or refused, and none panics. The seeds are a plain
// engine, light load, a long cam at idle, poor fuel, and the ends of float64.
func FuzzQuestions(tf *testing.F) {
	f := fuzzing.New(tf)
	huge, tiny := math.MaxFloat64, math.SmallestNonzeroFloat64
	f.Add(0.0803, 0.0889, 0.1588, 8.5, 95.0, 85.0, 2000.0, 99e3, 298.0, 20.0, 0.0, 0, 0)
	f.Add(0.0803, 0.0889, 0.1588, 8.5, 95.0, 85.0, 2000.0, 22e3, 298.0, 50.0, 0.0, 1, 3)
	f.Add(0.0803, 0.0889, 0.1588, 9.5, 98.0, 88.0, 600.0, 40e3, 298.0, 20.0, 110.0, 2, 4)
	f.Add(0.0803, 0.0889, 0.1588, 6.0, 70.0, 65.0, 800.0, 99e3, 330.0, -5.0, 20.0, 3, 5)
	f.Add(0.0803, 0.0889, 0.1588, 16.0, 40.0, 40.0, 9000.0, 250e3, 450.0, 70.0, -40.0, 0, 2)
	f.Add(huge, tiny, huge, -huge, huge, -huge, huge, tiny, huge, -huge, huge, 1<<31-1, -1)
	f.Add(math.NaN(), math.Inf(1), math.Inf(-1), math.NaN(), 95.0, 85.0, math.Inf(1), math.NaN(), math.NaN(), math.NaN(), math.NaN(), -5, 99)
	f.Fuzz(func(t *testing.T, bore, stroke, rod, ratio, ron, mon, rpm, pressure, kelvin, spark, overlap float64, chamber, kind int) {
		answered := func(what string, err error, values ...float64) {
			t.Helper()
			if err != nil {
				if !errors.Is(err, errRange) || err.Error() == "" {
					t.Errorf("%s: %v", what, err)
				}
				return
			}
			if !valid.Finite(values...) {
				t.Errorf("%s: %v without an error", what, values)
			}
		}
		_ = Chamber(chamber).String()
		e := NewEngine(4, bore, stroke, rod, ratio, Fuel{RON: ron, MON: mon})
		e.Chamber, e.Overlap, e.BackPressure = Chamber(chamber), overlap, pressure-99e3
		volume, err := e.Volume(spark)
		answered("volume", err, volume)
		m, err := New(e)
		if err != nil {
			answered("engine", err)
			return
		}
		at := Condition{RPM: rpm, InletPressure: pressure, InletTemperature: kelvin}
		w, err := m.SparkRequirement(at)
		answered("requirement", err, w.MBT, w.MBTLow, w.MBTHigh, w.MBTEarly, w.MBTLate, w.KLSA, w.KLSALow, w.KLSAHigh, w.Torque, w.HalfBurned, w.PeakPressure)
		loss, err := m.TorqueLoss(at, spark)
		answered("torque loss", err, loss)
		if c, err := m.Cycle(at, spark); err == nil {
			answered("cycle", nil, c.Torque, c.PeakPressure, c.PeakAt, c.Half, c.Integral, c.Onset, c.Unburned, c.HottestEndGas)
		} else {
			answered("cycle", err)
		}
		index, low, high, err := m.OctaneRequirement(at, spark)
		answered("octane", err, index, low, high)
		told, err := m.Calibrate(context.Background(), Observation{Condition: at, Kind: Kind(kind), Spark: spark, Retard: math.Abs(overlap) / 10})
		answered("calibration", err)
		if err == nil {
			w, err := told.SparkRequirement(at)
			answered("requirement after it", err, w.MBT, w.MBTLow, w.MBTHigh, w.KLSA, w.KLSALow, w.KLSAHigh)
		}
	})
}

// The zero and nil values refuse in words.
func TestNilRefuses(t *testing.T) {
	var m *Model
	for what, ask := range map[string]func() error{
		"requirement": func() error { _, err := m.SparkRequirement(Condition{RPM: 2000}); return err },
		"cycle":       func() error { _, err := m.Cycle(Condition{RPM: 2000}, 20); return err },
		"calibration": func() error { _, err := m.Calibrate(context.Background()); return err },
		"fuel":        func() error { _, err := m.WithFuel(Fuel{RON: 95, MON: 85}); return err },
		"ratio":       func() error { _, err := m.WithCompressionRatio(9); return err },
		"torque loss": func() error { _, err := m.TorqueLoss(Condition{RPM: 2000}, 20); return err },
	} {
		if err := ask(); !errors.Is(err, errRange) {
			t.Errorf("%s of nothing: got %v", what, err)
		}
	}
}
