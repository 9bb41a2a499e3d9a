package vacuum

import (
	"context"
	"reflect"
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// world is everything that the package's functions are asked with.
type world struct {
	System                                                                  *System
	Inputs                                                                  []Input
	Readings                                                                []PumpReading
	Errors                                                                  MeasurementError
	Screw                                                                   Adjuster
	Found                                                                   Identification
	Vacuum, Travel, Onset, Most, Throttle, RPM, Pressure, Clamp, Plate, Arm float64
	Every, Tolerance                                                        float64
}

func ordinaryWorld() *world {
	s := ordinary()
	s.Unit.RodLength, s.Unit.RodTilt, s.Unit.Friction, s.Unit.Stroke = 0.05, 0.05, 0.4, 6e-3
	s.Hose.Leak, s.Source = 2e-8, FromPort
	return &world{
		System:   s,
		Inputs:   []Input{{0, deg(10), 1200}, {0.1, deg(30), 1400}, {0.3, deg(12), 1300}},
		Readings: []PumpReading{{Vacuum: 1e4}, {Vacuum: 3e4, Theta: 0.06}, {Vacuum: 2e4, Event: Starts}, {Vacuum: 6e4, Theta: 0.13}},
		Errors:   MeasurementError{Vacuum: 1500, Theta: 0.008},
		Screw:    Adjuster{Pitch: 5e-4, Out: 50, In: 50},
		Found:    *identified(2e4, 4e4, 0.14, 1e3),
		Vacuum:   3e4, Travel: 2e-3, Onset: 2e4, Most: 0.1, Throttle: 0.3, RPM: 1200, Pressure: 5e4, Clamp: 0.06, Plate: 0.03, Arm: 0.03,
		Every: 0.05, Tolerance: 1e-4,
	}
}

// drive asks the package's functions everything that the world allows.
func (w *world) drive(t *testing.T) {
	s, u := w.System, w.System.Unit
	x, err := u.Advance(w.Vacuum)
	fuzzing.Finite(t, "Advance", err, x)
	x, err = u.Retreat(w.Vacuum)
	fuzzing.Finite(t, "Retreat", err, x)
	fuzzing.Finite(t, "unit", nil, u.Onset(), u.Full(), u.Most(), u.Stuck())
	set, turns, err := u.Adjust(w.Onset, w.Most, w.Screw)
	fuzzing.Finite(t, "Adjust", err, set, turns)
	l, err := u.Limited(w.Most)
	fuzzing.Finite(t, "Limited", err, l)
	if e, err := w.Found.Unit(w.Arm); err == nil {
		fuzzing.Finite(t, "Identification.Unit", nil, e, e.Onset(), e.Full(), e.Most())
	}
	x, err = FlatArea(w.Clamp, w.Plate)
	fuzzing.Finite(t, "FlatArea", err, x)
	x, err = ConvolutedArea(w.Clamp, w.Plate)
	fuzzing.Finite(t, "ConvolutedArea", err, x)
	x, err = s.Hose.Chamber(u, s.Air, w.Pressure)
	fuzzing.Finite(t, "Chamber", err, x)
	x, err = s.Port.opens(s.Throttle)
	fuzzing.Finite(t, "Opens", err, x)
	b, err := s.Steady(w.Throttle, w.RPM)
	fuzzing.Finite(t, "Steady", err, b)
	if plain := ordinaryWorld(); !reflect.DeepEqual(plain.Readings, w.Readings) || plain.Errors != w.Errors {
		id, err := Identify(w.Readings, w.Errors)
		fuzzing.Finite(t, "Identify", err, id)
		e, err := id.Unit(0)
		fuzzing.Finite(t, "identified unit", err, e)
		return
	}
	r, err := s.Run(context.Background(), nil, w.Inputs, &RunSettings{Every: w.Every, Tolerance: w.Tolerance})
	fuzzing.Finite(t, "Run", err, r)
}

// Whatever two fields hold, numbers come out or an error does, and nothing panics.
func FuzzVacuum(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Pairs(len(fuzzing.Floats(ordinaryWorld())))
	f.Fuzz(func(t *testing.T, i uint16, x float64, j uint16, y float64) {
		w := ordinaryWorld()
		all := fuzzing.Floats(w)
		all[int(i)%len(all)].SetFloat(x)
		all[int(j)%len(all)].SetFloat(y)
		w.drive(t)
	})
}

// What is missing is refused with a sentence; a name is found for any value.
func TestNilIsRefused(t *testing.T) {
	var s *System
	if err := s.Check(); !refused(err) {
		t.Errorf("nil system: %v", err)
	}
	if _, err := s.Steady(0.3, 1000); !refused(err) {
		t.Errorf("nil system, steady: %v", err)
	}
	if _, err := s.Run(context.Background(), nil, nil, nil); !refused(err) {
		t.Errorf("nil system, run: %v", err)
	}
	var none context.Context
	if _, err := ordinary().Run(none, nil, tipIn(), nil); !refused(err) {
		t.Errorf("nil context: %v", err)
	}
	for i := -3; i < 5; i++ {
		if Source(i).String() == "" {
			t.Errorf("source %d has no name", i)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if r, err := ordinary().Run(ctx, nil, tipIn(), nil); err != context.Canceled || r != nil {
		t.Errorf("cancelled: %v", err)
	}
}
