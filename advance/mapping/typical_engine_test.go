package mapping

import (
	"context"
	"math"
	"testing"

	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
)

func plainEngine() knock.Engine {
	return knock.NewEngine(4, 80e-3, 79.6e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
}

// The opening found is the one at which the manifold has the vacuum asked for.
func TestSnapOpenBeginsAtTheVacuumAsked(t *testing.T) {
	sys, err := OrdinarySystem(plainEngine(), sea)
	if err != nil {
		t.Fatal(err)
	}
	d := distributor(t)
	for _, c := range []struct{ rpm, depth float64 }{{1500, 15}, {2400, 15}, {3500, 12}, {2000, 5}} {
		in, err := SnapOpen(d, sys, c.rpm, c.depth*inHg)
		if err != nil {
			t.Fatal(err)
		}
		s, err := TipInTransient(context.Background(), in)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "vacuum before", sea.Pressure-s.Instants[0].Pressure, c.depth*inHg, 1)
		if last := s.Instants[len(s.Instants)-1]; !(last.Pressure > 0.95*sea.Pressure) || last.Pulled > 0.1 {
			t.Errorf("%g rpm ends at %g Pa with %g deg pulled", c.rpm, last.Pressure, last.Pulled)
		}
	}
	for name, f := range map[string]func() error{
		"no engine":  func() error { _, err := OrdinarySystem(knock.Engine{}, sea); return err },
		"no air":     func() error { _, err := OrdinarySystem(plainEngine(), air.Ambient{}); return err },
		"no system":  func() error { _, err := SnapOpen(d, nil, 2000, 4e4); return err },
		"no vacuum":  func() error { _, err := SnapOpen(d, sys, 2000, 0); return err },
		"too deep":   func() error { _, err := SnapOpen(d, sys, 800, 99e3); return err },
		"no number":  func() error { _, err := SnapOpen(d, sys, math.NaN(), 4e4); return err },
		"no speed":   func() error { _, err := SnapOpen(d, sys, 0, 4e4); return err },
		"NaN vacuum": func() error { _, err := SnapOpen(d, sys, 2000, math.NaN()); return err },
	} {
		if err := f(); !refused(err) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

// An idle of which the vacuum was measured is the idle whose friction gives that
// vacuum: asked again with the friction, the balance finds it.
func TestMeasuredIdleIsTheBalance(t *testing.T) {
	in := idling(t)
	computed, err := Idle(in)
	if err != nil {
		t.Fatal(err)
	}
	in.ManifoldVacuum = sea.Pressure - computed.Pressure
	in.Work.Friction = 0
	measured, err := Idle(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pressure", measured.Pressure, computed.Pressure, 1e-6)
	near(t, "spark", measured.Spark, computed.Spark, 1e-9)
	near(t, "restoring slope", measured.Restore, computed.Restore, 1e-6*computed.Restore)
	near(t, "gain", measured.Gain, computed.Gain, 1e-6)
	in.ManifoldVacuum = 5 * inHg // more charge than any idle asks for
	in.Work.Efficiency = 0.6
	if s, err := Idle(in); !refused(err) || s != nil {
		t.Errorf("%+v, error %v", s, err)
	}
	// From plain facts and ordinary sizes alone.
	sys, err := OrdinarySystem(plainEngine(), sea)
	if err != nil {
		t.Fatal(err)
	}
	s, err := Idle(Idling{Distributor: distributor(t), System: sys, RPM: 800, MBT: 36, ManifoldVacuum: 17 * inHg})
	if err != nil {
		t.Fatal(err)
	}
	if s.Pull != pulledFully || !s.Steady {
		t.Errorf("%+v", s)
	}
}
