package knock

import (
	"context"
	"fmt"
	"testing"
)

// One cycle from inlet closing to exhaust opening with the autoignition integral,
// the gas exchange and compression included. Promised: below 50 microseconds, no
// allocation.
func BenchmarkCycle(b *testing.B) {
	m := newModel(b, example())
	for _, k := range []struct {
		name string
		cond Condition
	}{{"full load", Condition{RPM: 2000}}, {"throttled", Condition{RPM: 3000, InletPressure: 50e3}}} {
		b.Run(k.name, func(b *testing.B) {
			p, c := running(b, m, k.cond)
			b.ReportAllocs()
			sum := 0.0
			for i := 0; b.Loop(); i++ {
				p.fill(c, &m.posterior.mean)
				sum += c.fire(15+float64(i%20), nil).integral
			}
			if !(sum > 0) {
				b.Fatal("no integral")
			}
		})
	}
}

// Only the fired part, as a search over spark runs it.
func BenchmarkSpark(b *testing.B) {
	m := newModel(b, example())
	_, c := running(b, m, Condition{RPM: 2000})
	b.ReportAllocs()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		sum += c.fire(15+float64(i%20), nil).integral
	}
	if !(sum > 0) {
		b.Fatal("no integral")
	}
}

// A running point with MBT, limit and both bands.
func BenchmarkAt(b *testing.B) {
	m := newModel(b, example())
	b.ReportAllocs()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		w, err := m.SparkRequirement(Condition{RPM: 1500 + float64(i%20)*100})
		if err != nil {
			b.Fatal(err)
		}
		sum += w.KLSA
	}
	if !(sum > 0) {
		b.Fatal("no limit")
	}
}

// What a job asks: ten speeds at full load with all bands, after two observations.
func BenchmarkFullLoad(b *testing.B) {
	m := newModel(b, example())
	m, err := m.Calibrate(context.Background(), Observation{Condition: Condition{RPM: 2000}, Spark: 20}, Observation{Condition: Condition{RPM: 3000}, Spark: 28})
	if err != nil {
		b.Fatal(err)
	}
	var full []Condition
	for _, rpm := range []float64{800, 1200, 1600, 2000, 2400, 2800, 3200, 3600, 4000, 4500} {
		full = append(full, Condition{RPM: rpm})
	}
	for b.Loop() {
		if _, err := m.Each(context.Background(), full, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// Calibration takes time in proportion to the observations.
func BenchmarkCalibrate(b *testing.B) {
	m := newModel(b, example())
	for _, k := range []struct {
		name string
		kind Kind
	}{{"trace knock", TraceKnock}, {"no knock", NoKnock}} {
		for _, n := range []int{10, 100, 1000} {
			b.Run(fmt.Sprintf("%d %s", n, k.name), func(b *testing.B) {
				told := make([]Observation, n)
				for i := range told {
					rpm := 1200 + float64(i%19)*100
					told[i] = Observation{Condition: Condition{RPM: rpm}, Kind: k.kind, Spark: 10 + rpm/200 + float64(i%3)}
				}
				for b.Loop() {
					if _, err := m.Calibrate(context.Background(), told...); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// Maps of speed and load: time goes with the cells. Promised: 20 by 20 in a second
// on two processors.
func BenchmarkMap(b *testing.B) {
	m := newModel(b, example())
	for _, k := range []struct {
		name string
		n    int
	}{{"10x10", 10}, {"20x20", 20}} {
		b.Run(k.name, func(b *testing.B) {
			var conditions []Condition
			for i := range k.n {
				for j := range k.n {
					last := float64(k.n - 1)
					conditions = append(conditions, Condition{RPM: 1000 + 3500*float64(i)/last, InletPressure: 50e3 + 49e3*float64(j)/last})
				}
			}
			for b.Loop() {
				if _, err := m.Each(context.Background(), conditions, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*k.n*k.n), "us/cell")
		})
	}
}

// Preparing an engine: the gas tables of one mixture.
func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		if _, err := New(example()); err != nil {
			b.Fatal(err)
		}
	}
}
