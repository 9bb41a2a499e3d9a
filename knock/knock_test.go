package knock

import (
	"context"
	"math"
	"testing"
)

// example is a four-cylinder engine of the period, a scenario of our own.
func example() Engine {
	return NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, Fuel{RON: 95, MON: 85})
}

func newModel(t testing.TB, e Engine) *Model {
	t.Helper()
	m, err := New(e, nil)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestFullLoad(t *testing.T) {
	m := newModel(t, example())
	ws, err := m.FullLoad(context.Background(), []float64{800, 1200, 1600, 2000, 2500, 3000, 4000, 5000}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range ws {
		t.Logf("%+v", w)
	}
	p, err := m.at(Condition{RPM: 2000})
	if err != nil {
		t.Fatal(err)
	}
	var c charge
	p.fill(&c, &tweak{})
	for s := -10.0; s < 45; s += 5 {
		o := c.fire(s, nil)
		t.Logf("spark %5.1f work %8.3f brake %8.3f pmax %6.2f bar at %5.1f I %7.4f onset %6.2f law %9.2g gap %9.2g half %5.1f Tmax %6.0f end %v", s, o.work, c.brake(&p.engine, &o), o.peak/1e5, o.peakAt, o.integral, o.onset, o.residualLaw, o.gap, o.half, o.hottest, o.end)
	}
	t.Logf("T0 %.1f p0 %.0f mass %.4g res %.4f Tr %.0f burn %+v oct %.2f", c.t0, c.p0, c.mass, c.residual, c.residualKelvin, c.burn(20), c.octane)
	if math.IsNaN(ws[0].MBT) {
		t.Error("no MBT")
	}
}

func BenchmarkCycle(b *testing.B) {
	m := newModel(b, example())
	p, err := m.at(Condition{RPM: 2000})
	if err != nil {
		b.Fatal(err)
	}
	var c charge
	b.ReportAllocs()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		p.fill(&c, &tweak{})
		o := c.fire(15+float64(i%20), nil)
		sum += o.integral
	}
	if !(sum > 0) {
		b.Fatal("no integral")
	}
}
