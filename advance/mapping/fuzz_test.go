package mapping

import (
	"context"
	"math"
	"reflect"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/vacuum"
)

// hostile are values that no caller should give and some will.
var hostile = []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, math.Copysign(0, -1), 5e-324, 1e-300, 1e-9, 1e9, 1e300, math.MaxFloat64}

// seed adds hostile values at each of n places, alone and in pairs.
func seed(f *testing.F, n int) {
	for i := range n {
		for k := range 4 {
			f.Add(uint16(i), hostile[(i+3*k)%len(hostile)], uint16(i*(k+1)), hostile[(i+5*k)%len(hostile)])
		}
	}
}

// fields gathers every float64 below v, nested structs and slices included.
func fields(v reflect.Value, out []reflect.Value) []reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*flyweights.Curve]() {
			return fields(v.Elem(), out)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				out = fields(v.Field(i), out)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			out = fields(v.Index(i), out)
		}
	case reflect.Float64:
		if v.CanSet() {
			out = append(out, v)
		}
	}
	return out
}

// finite fails any float below a result that is not a number, where there is no error.
func finite(t *testing.T, what string, err error, results ...any) {
	t.Helper()
	if err != nil {
		return
	}
	for _, r := range results {
		numbers(t, what, reflect.ValueOf(r))
	}
}

func numbers(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			numbers(t, what, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				numbers(t, what+"."+f.Name, v.Field(i))
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			numbers(t, what+"[]", v.Index(i))
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %g without an error", what, x)
		}
	}
}

// world is everything that the package's functions are asked with.
type world struct {
	Distributor                         *advance.Distributor
	Situation                           Situation
	Idling                              Idling
	TipIn                               TipIn
	Air                                 air.Ambient
	RPM                                 []float64
	Pressure                            []float64
	Requirement                         Requirement
	Margin, Speed, Depth, Off, Flatness float64
}

func ordinaryWorld(t testing.TB) *world {
	w := &world{
		Distributor: distributor(t), Situation: situation(), Air: sea,
		RPM: []float64{800, 2000, 3000}, Pressure: []float64{4e4, 7e4, 1e5},
		Requirement: Requirement{MBT: 40, KnockLimited: true, KLSA: 35},
		Margin:      2, Speed: 2000, Depth: 4e4, Off: 8, Flatness: 0.0003,
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
		finite(t, "map", nil, m)
		c, err := m.Compare(ctx, ask, w.Margin)
		finite(t, "comparison", err, c)
		p, err := m.CruiseAt(w.Speed, w.Pressure[1], ask, w.Margin)
		finite(t, "cruise", err, p)
	}
	a, err := Advise(w.Situation)
	finite(t, "advice", err, a)
	a.Sentences()
	i, err := Idle(w.Idling)
	finite(t, "idle", err, i)
	w.TipIn.Requirements = ask
	tr, err := TipInTransient(ctx, w.TipIn)
	finite(t, "transient", err, tr)
	s, err := SnapOpen(w.Distributor, w.Idling.System, w.Speed, w.Depth)
	finite(t, "snap", err, s.Inputs)
	e := w.Idling.System.Intake.Engine
	sys, err := OrdinarySystem(e, w.Air)
	finite(t, "system", err, sys)
	x, err := TorqueLost(w.Off, w.Flatness)
	finite(t, "torque lost", err, x)
	xs, err := Even(w.Off, w.Speed, 5)
	finite(t, "axis", err, xs)
}

// Whatever two fields hold, numbers come out or an error does, and nothing panics.
func FuzzMapping(f *testing.F) {
	seed(f, len(fields(reflect.ValueOf(ordinaryWorld(f)), nil)))
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinaryWorld(t)
		all := fields(reflect.ValueOf(w), nil)
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
		"map":                func() error { _, err := (*Map)(nil).at(0, 0, flyweights.Rising); return err },
		"map to compare":     func() error { _, err := (*Map)(nil).Compare(context.Background(), ask, 0); return err },
		"context to compare": func() error { _, err := m.Compare(none, ask, 0); return err },
		"requirement":        func() error { _, err := m.Compare(context.Background(), nil, 0); return err },
		"cruise":             func() error { _, err := m.CruiseAt(1000, 4e4, nil, 0); return err },
		"map cut short":      func() error { _, err := torn.at(1, 1, flyweights.Falling); return err },
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
	for i := -3; i < 5; i++ {
		if Pull(i).String() == "" {
			t.Errorf("pull %d has no name", i)
		}
	}
}
