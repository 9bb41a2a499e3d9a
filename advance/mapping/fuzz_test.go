package mapping

import (
	"context"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/vacuum"
)

// world is everything that the package's functions are asked with.
type world struct {
	Distributor               *advance.Distributor
	Situation                 Situation
	Idling                    Idling
	TipIn                     TipIn
	Air                       air.Ambient
	RPM                       []float64
	Pressure                  []float64
	Requirement               Requirement
	Margin, Speed, Depth, Off float64
}

func ordinaryWorld(t testing.TB) *world {
	w := &world{
		Distributor: distributor(t), Situation: situation(), Air: sea,
		RPM: []float64{800, 2000, 3000}, Pressure: []float64{4e4, 7e4, 1e5},
		Requirement: Requirement{MBT: 40, KnockLimited: true, KLSA: 35},
		Margin:      2, Speed: 2000, Depth: 4e4, Off: 8,
	}
	w.Situation.Light = []LightLoad{{RPM: 3000, Mechanical: 20, Requirement: w.Requirement}}
	w.Situation.HeavyVacuum, w.Situation.Uncertain = 9e3, 1e3
	w.Idling = Idling{Distributor: w.Distributor, System: engine(), RPM: 800, Drag: 15, MBT: 38, Flatness: 0.0003, Wander: 25, Jitter: 5e3}
	w.TipIn = TipIn{
		Distributor: w.Distributor, System: engine(), Margin: 2,
		Inputs:   []vacuum.Input{{Time: 0, Throttle: 0.26, RPM: 2000}, {Time: 0.1, Throttle: 1.4, RPM: 2000}, {Time: 0.3, Throttle: 1.4, RPM: 2100}},
		Settings: &vacuum.RunSettings{Every: 0.05, Tolerance: 1e-4},
	}
	return w
}

// drive asks the package's functions everything that the world allows.
func (w *world) drive(t *testing.T) {
	ctx := context.Background()
	ask := func(_, _ float64) (Requirement, error) { return w.Requirement, nil }
	if m, err := New(nil, w.Distributor, w.Air, w.RPM, w.Pressure); err == nil {
		fuzzing.Finite(t, "map", nil, m)
		c, err := m.Compare(ctx, ask, w.Margin)
		fuzzing.Finite(t, "comparison", err, c)
	}
	a, err := Advise(w.Situation)
	fuzzing.Finite(t, "advice", err, a)
	a.Sentences()
	i, err := Idle(w.Idling)
	fuzzing.Finite(t, "idle", err, i)
	w.TipIn.Requirements = ask
	tr, err := TipInTransient(ctx, w.TipIn)
	fuzzing.Finite(t, "transient", err, tr)
	s, err := SnapOpen(w.Distributor, w.Idling.System, w.Speed, w.Depth)
	fuzzing.Finite(t, "snap", err, s.Inputs)
	e := w.Idling.System.Intake.Engine
	sys, err := OrdinarySystem(e, w.Air)
	fuzzing.Finite(t, "system", err, sys)
}

// Whatever two fields hold, numbers come out or an error does, and nothing panics.
func FuzzMapping(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Pairs(len(fuzzing.Floats(ordinaryWorld(tf))))
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinaryWorld(t)
		all := fuzzing.Floats(w)
		all[int(i)%len(all)].SetFloat(x)
		all[int(j)%len(all)].SetFloat(y)
		w.drive(t)
	})
}

// What is missing is refused with a sentence; a name is found for any value.
func TestNilIsRefused(t *testing.T) {
	var none context.Context
	m, err := New(nil, distributor(t), sea, []float64{1000, 2000}, []float64{4e4, 8e4})
	if err != nil {
		t.Fatal(err)
	}
	ask := func(_, _ float64) (Requirement, error) { return Requirement{MBT: 30}, nil }
	torn := *m
	torn.Falling = torn.Falling[:1]
	for name, f := range map[string]func() error{
		"distributor":        func() error { _, err := New(nil, nil, sea, []float64{1}, []float64{1e4}); return err },
		"map to compare":     func() error { _, err := (*Map)(nil).Compare(context.Background(), ask, 0); return err },
		"map cut short":      func() error { _, err := torn.Compare(context.Background(), ask, 0); return err },
		"context to compare": func() error { _, err := m.Compare(none, ask, 0); return err },
		"requirement":        func() error { _, err := m.Compare(context.Background(), nil, 0); return err },
		"situation":          func() error { return (*Situation)(nil).check() },
		"idling":             func() error { _, err := Idle(Idling{}); return err },
		"tip-in":             func() error { _, err := TipInTransient(context.Background(), TipIn{}); return err },
		"context of tip-in":  func() error { _, err := TipInTransient(none, snap(t)); return err },
	} {
		if err := f(); !refused(err) {
			t.Errorf("%s: error %v", name, err)
		}
	}
	if out := (*Advice)(nil).Sentences(); out != nil {
		t.Errorf("sentences of no advice: %q", out)
	}
}
