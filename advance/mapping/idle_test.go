package mapping

import (
	"errors"
	"math"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"

	"example.org/bobweight/springs/valid"
)

// engine is a 1.6 litre of our own with its throttle and hose.
func engine() *vacuum.System {
	e := knock.NewEngine(4, 80e-3, 79.577471545947667e-3, 140e-3, 8.5, knock.Fuel{RON: 95, MON: 85})
	e.Filling = []knock.Filling{{RPM: 572.95779513082321, Efficiency: 0.72}, {RPM: 3819.7186342054881, Efficiency: 0.85}}
	return &vacuum.System{
		Throttle: airpath.Throttle{Bore: 0.036, Shaft: 0.008, Closed: 8 * math.Pi / 180, Discharge: 0.8, Bypass: 8e-6},
		Intake:   airpath.Intake{Engine: e, Volume: 2.5e-3, BackPressure: 2e3, OverlapFactor: 1e-12, FilledThrottled: true},
		Air:      sea,
		Port:     vacuum.Port{Height: 1.2e-3, Diameter: 1.2e-3},
		Hose:     vacuum.Hose{Restriction: 2e-7, Volume: 35e-6},
	}
}

func idling(t *testing.T) Idling {
	return Idling{
		Distributor: distributor(t), System: engine(), RPM: 800,
		Work: airpath.Load{Friction: 1.25e5, Efficiency: 0.30, Heat: 2.95e6},
		Drag: 15, MBT: 38,
	}
}

func idle(t *testing.T, change func(*Idling)) *IdleState {
	t.Helper()
	in := idling(t)
	change(&in)
	s, err := Idle(in)
	if err != nil {
		t.Fatal(err)
	}
	if s.Why == "" || math.IsNaN(s.Gain) {
		t.Errorf("%+v", s)
	}
	return s
}

// The three places of a unit at idle: fully pulled or on the ported source idle is
// steady; on its ramp it is not, and the steeper the ramp the higher the gain.
func TestIdleIsSteadyWhereTheUnitDoesNotMove(t *testing.T) {
	full := idle(t, func(*Idling) {})
	if full.Pull != pulledFully || !full.Steady || !(full.Above > 0) {
		t.Errorf("fully pulled: %+v", full)
	}
	ported := idle(t, func(in *Idling) { in.System.Source = vacuum.FromPort })
	if ported.Pull != pulledNot || !ported.Steady || ported.Vacuum != 0 {
		t.Errorf("ported: %+v", ported)
	}
	// Less spark is less torque from the same charge: idle needs more air.
	if !(ported.Pressure > full.Pressure && ported.Spark < full.Spark-10) {
		t.Errorf("ported at %g Pa and %g deg, manifold at %g Pa and %g deg", ported.Pressure, ported.Spark, full.Pressure, full.Spark)
	}
	onRamp := func(rate float64) *IdleState {
		return idle(t, func(in *Idling) {
			u := *in.Distributor.Vacuum
			u.Rate, u.Friction = rate, 0
			u.Travel = 5e-3
			// Preload so that the middle of the ramp lies between the two idles.
			middle := (full.Vacuum + sea.Pressure - ported.Pressure) / 2
			u.Preload = middle*u.Area - u.Rate*u.Travel/2
			in.Distributor.Vacuum = &u
		})
	}
	last := 0.0
	for _, rate := range []float64{8000, 4000, 2500} {
		s := onRamp(rate)
		if s.Pull != pulledPartly || s.Steady || !(s.Gain > last) || !(s.Slope > 0) {
			t.Errorf("rate %g N/m: %+v", rate, s)
		}
		last = s.Gain
	}
}

// The loop gain against its closed form. Behind a choked throttle without overlap
// p = C/omega, so that at a fixed spark gross = G/omega' and the pumping work and
// load have slopes of their own; the spark enters by the weights alone.
func TestLoopGainHasAClosedForm(t *testing.T) {
	in := idling(t)
	in.System.Source = vacuum.FromPort
	in.System.Intake.Engine.Filling = []knock.Filling{{RPM: 1000, Efficiency: 0.75}}
	in.RPM, in.Wander = 1300, 1 // the weights are out here
	s, err := Idle(in)
	if err != nil {
		t.Fatal(err)
	}
	if !(s.Mechanical > 1) {
		t.Fatalf("the weights have not begun: %+v", s)
	}
	off := in.MBT - s.Spark
	ideal := in.Work.Efficiency * in.Work.Heat * 0.75 * s.Pressure / (air.Dry.R * 320)
	// Charge and pressure both fall as one over speed.
	restore := ideal*(1-flatness*off*off)/in.RPM + in.Drag + s.Pressure/in.RPM
	added := ideal * 2 * flatness * off * s.Slope
	near(t, "restoring slope", s.Restore, restore, 1e-4*restore)
	near(t, "gain", s.Gain, added/restore, 1e-3*added/restore)
	slope := (in.Distributor.Mechanical(1301, 0) - in.Distributor.Mechanical(1299, 0)) / 2
	near(t, "spark's slope", s.Slope, slope-advance.DelayDegrees(in.Distributor.Delay, 1), 1e-9)
	// The balance of work: what the charge gives pays for load and pumping.
	near(t, "work", ideal*(1-flatness*off*off), in.Work.Friction+sea.Pressure+in.System.Intake.BackPressure-s.Pressure, 1)
}

func TestIdleRunsAwayOnSoftSprings(t *testing.T) {
	s := idle(t, func(in *Idling) {
		in.System.Source = vacuum.FromPort
		in.RPM, in.MBT, in.Drag = 1150, 55, 0
		in.Work.Efficiency = 0.4
		l := *in.Distributor
		l.Static = 2
		in.Distributor = &l
	})
	calm := idle(t, func(in *Idling) { in.System.Source = vacuum.FromPort })
	if !(s.Gain > calm.Gain) || calm.Mechanical != 0 || !(s.Mechanical > 0) {
		t.Errorf("begun %g deg, gain %g; not begun: gain %g", s.Mechanical, s.Gain, calm.Gain)
	}
}

// refused reports an error of this package or of one below that refuses a value.
func refused(err error) bool {
	for _, sentinel := range []error{errRange, valid.ErrRange, valid.ErrRange, valid.ErrRange, valid.ErrRange, valid.ErrRange} {
		if errors.Is(err, sentinel) {
			return true
		}
	}
	return false
}

func TestBadIdlingsAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Idling){
		"empty":              func(in *Idling) { *in = Idling{} },
		"no drive":           func(in *Idling) { d := *in.Distributor; d.Drive = 0; in.Distributor = &d },
		"standing":           func(in *Idling) { in.RPM = 0 },
		"speed not a number": func(in *Idling) { in.RPM = math.NaN() },
		"too much load":      func(in *Idling) { in.Work.Brake = 5e6 },
		"wander too wide":    func(in *Idling) { in.Wander = 900 },
		"no engine":          func(in *Idling) { in.System = &vacuum.System{} },
		"leak above supply":  func(in *Idling) { in.System.Hose.Leak = 1 },
		"drag negative":      func(in *Idling) { in.Drag = -1 },
	} {
		in := idling(t)
		spoil(&in)
		s, err := Idle(in)
		if s != nil || !refused(err) {
			t.Errorf("%s: %+v, error %v", name, s, err)
		}
	}
}
