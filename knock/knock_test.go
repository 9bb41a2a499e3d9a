package knock

import (
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
