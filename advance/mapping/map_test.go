package mapping

import (
	"context"
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock/air"
)

var sea = air.Ambient{Pressure: 101325, Temperature: 293.15}

// distributor begins at about 1000 engine rpm and gives 20 crank degrees.
func distributor(t testing.TB) *advance.Distributor {
	t.Helper()
	l := flyweights.Lumped{
		WeightMass: 0.05, PivotRadius: 0.03, CentreDistance: 0.015, CentreAngle: 1.9,
		SpringMomentRest: 0.045, SpringMomentStop: 0.45, Travel: 10 * math.Pi / 180, Ratio: 0.5, Friction: 0.004,
	}
	c, err := l.Curve(nil)
	if err != nil {
		t.Fatal(err)
	}
	u := unit()
	return &advance.Distributor{Drive: advance.FourStroke, Static: 10, Mechanism: c, Vacuum: &u, Delay: 40e-6}
}

func axes(t testing.TB, n int) (rpm, pressure []float64) {
	t.Helper()
	return floats.Span(make([]float64, n), 500, 5000), floats.Span(make([]float64, n), 20e3, sea.Pressure)
}

// Every point against the distributor's own total, which does not know that the
// map separates.
func TestMapIsTheDistributorsTotal(t *testing.T) {
	d := distributor(t)
	rpm, pressure := axes(t, 17)
	m, err := New(nil, d, sea, rpm, pressure)
	if err != nil {
		t.Fatal(err)
	}
	moved := false
	for i, n := range rpm {
		for j, p := range pressure {
			want, err := d.Total(n, sea.Pressure-p, flyweights.Rising)
			if err != nil {
				t.Fatal(err)
			}
			up, down := m.Rising[i*len(pressure)+j], m.Falling[i*len(pressure)+j]
			near(t, "total", up, want, 1e-9)
			if !(down >= up-1e-9) {
				t.Errorf("%g rpm, %g Pa: falling %g below rising %g", n, p, down, up)
			}
			moved = moved || down > up+0.1
			if i > 0 && j > 0 {
				// The mixed difference of a sum of two parts is nothing.
				q := len(pressure)
				mixed := m.Rising[i*q+j] - m.Rising[(i-1)*q+j] - m.Rising[i*q+j-1] + m.Rising[(i-1)*q+j-1]
				near(t, "mixed difference", mixed, 0, 1e-10)
			}
		}
	}
	if !moved {
		t.Error("friction makes no difference anywhere")
	}
	// The same memory again, smaller, and without a unit.
	bare := *d
	bare.Vacuum = nil
	if m, err = New(m, &bare, sea, rpm[:3], pressure[:2]); err != nil {
		t.Fatal(err)
	}
	if len(m.Rising) != 6 || m.Rising[0] != m.Rising[1] {
		t.Errorf("map without a unit: %v", m.Rising)
	}
}

func TestAgainstFindsTheWorstPoint(t *testing.T) {
	d := distributor(t)
	rpm, pressure := axes(t, 15)
	m, err := New(nil, d, sea, rpm, pressure)
	if err != nil {
		t.Fatal(err)
	}
	bounds := func(n, p float64) (Requirement, error) {
		return Requirement{MBT: 50 - 25*p/101325, KnockLimited: p > 60e3, KLSA: 70 - 50*p/101325 + n/500}, nil
	}
	c, err := m.Compare(context.Background(), bounds, 3)
	if err != nil {
		t.Fatal(err)
	}
	margin, beyond, ahead, behind := math.Inf(1), 0, 0.0, 0.0
	for i, n := range rpm {
		for j, p := range pressure {
			k := i*len(pressure) + j
			b, _ := bounds(n, p)
			early, late := math.Max(m.Rising[k], m.Falling[k]), math.Min(m.Rising[k], m.Falling[k])
			ahead, behind = math.Max(ahead, early-b.MBT), math.Max(behind, b.MBT-late)
			if b.KnockLimited {
				margin = math.Min(margin, b.KLSA-early)
				if b.KLSA-early < 3 {
					beyond++
				}
			}
		}
	}
	near(t, "margin", c.Degrees, margin, 0)
	near(t, "margin's place", c.Margin.Requirement.KLSA-c.Margin.Total, margin, 0)
	near(t, "ahead", c.Ahead, ahead, 0)
	near(t, "behind", c.Behind, behind, 0)
	near(t, "behind's place", c.Late.Requirement.MBT-c.Late.Total, behind, 0)
	if c.Beyond != beyond || beyond == 0 || c.Points != 225 || !c.AnyLimited {
		t.Errorf("%+v, want %d beyond", c, beyond)
	}
	free, err := m.Compare(context.Background(), func(_, _ float64) (Requirement, error) { return Requirement{MBT: 30}, nil }, 3)
	if err != nil || free.AnyLimited || free.Degrees != 0 {
		t.Errorf("%+v, error %v", free, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := m.Compare(ctx, bounds, 3); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

func TestBadMapsAreRefused(t *testing.T) {
	d := distributor(t)
	good := []float64{1000, 2000}
	load := []float64{50e3, 90e3}
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"no distributor":     func() error { _, err := New(nil, &advance.Distributor{}, sea, good, load); return err },
		"no air":             func() error { _, err := New(nil, d, air.Ambient{}, good, load); return err },
		"empty axis":         func() error { _, err := New(nil, d, sea, nil, load); return err },
		"falling axis":       func() error { _, err := New(nil, d, sea, []float64{2, 1}, load); return err },
		"boost":              func() error { _, err := New(nil, d, sea, good, []float64{50e3, 120e3}); return err },
		"vacuum beyond air":  func() error { _, err := New(nil, d, sea, good, []float64{0, 5e4}); return err },
		"speed not a number": func() error { _, err := New(nil, d, sea, []float64{nan}, load); return err },
		"empty map against": func() error {
			_, err := new(Map).Compare(context.Background(), func(_, _ float64) (Requirement, error) { return Requirement{}, nil }, 0)
			return err
		},
		"bound is no number": func() error {
			m, err := New(nil, d, sea, good, load)
			if err != nil {
				return err
			}
			_, err = m.Compare(context.Background(), func(_, _ float64) (Requirement, error) { return Requirement{MBT: nan}, nil }, 0)
			return err
		},
	} {
		if err := f(); !refused(err) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func BenchmarkMap40x40RisingAndFalling(b *testing.B) {
	d := distributor(b)
	rpm, pressure := axes(b, 40)
	var m *Map
	b.ReportAllocs()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		d.Static = float64(i % 20)
		var err error
		if m, err = New(m, d, sea, rpm, pressure); err != nil {
			b.Fatal(err)
		}
		sum += m.Falling[i%1600]
	}
	if math.IsNaN(sum) {
		b.Fatal("NaN")
	}
}

// The naive map, point by point, for comparison.
func BenchmarkMap40x40PointByPoint(b *testing.B) {
	d := distributor(b)
	rpm, pressure := axes(b, 40)
	sum := 0.0
	for b.Loop() {
		for _, n := range rpm {
			for _, p := range pressure {
				v, err := d.Total(n, sea.Pressure-p, flyweights.Rising)
				if err != nil {
					b.Fatal(err)
				}
				sum += v
			}
		}
	}
	if math.IsNaN(sum) {
		b.Fatal("NaN")
	}
}
