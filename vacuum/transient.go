package vacuum

import (
	"fmt"
	"math"
)

// Source is where the hose is pushed on.
type Source int

const (
	// FromManifold is a fitting below the throttle: full vacuum at idle.
	FromManifold Source = iota
	// FromPort is a hole at the throttle's edge: no vacuum at idle, manifold
	// vacuum once the throttle has opened past it.
	FromPort
)

// String returns "manifold" or "ported".
func (s Source) String() string {
	if s == FromPort {
		return "ported"
	}
	return "manifold"
}

// System is an engine with its throttle, the hose and the unit, in the air of the
// day.
type System struct {
	Throttle Throttle
	Engine   Engine
	Air      Ambient
	Source   Source
	Port     Port // used with FromPort
	Line     Line
	Unit     Unit
}

// Check refuses a system with a part that refuses itself.
func (s *System) Check() error {
	if err := s.Engine.Check(); err != nil {
		return err
	}
	if err := s.Throttle.Check(); err != nil {
		return err
	}
	if err := s.Air.Check(); err != nil {
		return err
	}
	if err := check(rule("source", float64(s.Source), "", "FromManifold or FromPort", s.Source == FromManifold || s.Source == FromPort)); err != nil {
		return err
	}
	if s.Source == FromPort {
		if _, err := s.Throttle.Uncovers(s.Port); err != nil {
			return err
		}
	}
	return s.Line.Check(s.Unit)
}

// Moment is one corner of what the driver does: between two moments throttle
// and speed change in straight lines.
type Moment struct {
	Time     float64 // s, rising
	Throttle float64 // rad
	Omega    float64 // rad/s at the distributor shaft
}

// Sample is the air and the unit at one time.
type Sample struct {
	Moment
	Manifold float64 // Pa absolute
	Port     float64 // Pa absolute at the hose's fitting
	Chamber  float64 // Pa absolute in the unit
	Rod      float64 // m
	Theta    float64 // rad at the distributor shaft
	In       float64 // kg/s past the throttle
	Out      float64 // kg/s into the engine
	Hose     float64 // kg/s out of the unit's chamber
	Torn     float64 // kg/s through the torn diaphragm
}

// Settings tune [System.Run]; nil means the defaults.
type Settings struct {
	Every     float64 // s between samples; 0 means 0.01
	Tolerance float64 // error allowed in a step, as a share of the air in each space; 0 means 1e-6
}

// Run is the answer of [System.Run].
type Run struct {
	Samples []Sample
	// ManifoldMass and ChamberMass are the air in kg in each space at first and last.
	ManifoldMass, ChamberMass [2]float64
	// Steps that the integrator took, threw away, and how often it asked for the flows.
	Steps, Rejected, Calls int
}

// Run follows manifold, chamber and unit through what the driver does, from the
// steady state at the first moment to the last. Both spaces keep their
// temperature; their masses of air are the state:
//
//	dM/dt = throttle + hose - engine,  dm/dt = leak - hose
//
// The rod follows the chamber without mass, held by its friction. Samples are
// evenly spaced and interpolated in the steps. dst, which may be nil, is reused.
//
// Refused: a system that does not pass [System.Check], fewer than two moments,
// times that do not rise, throttle angles or speeds outside the range of their
// parts, more than a million samples, and a run in which burned gas exceeds the
// range of [Engine.Burned].
func (s *System) Run(dst *Run, driver []Moment, set *Settings) (*Run, error) {
	every, tolerance := 0.01, 1e-6
	if set != nil && set.Every != 0 {
		every = set.Every
	}
	if set != nil && set.Tolerance != 0 {
		tolerance = set.Tolerance
	}
	if err := s.checkRun(driver, every, tolerance); err != nil {
		return nil, err
	}
	if dst == nil {
		dst = new(Run)
	}
	*dst = Run{Samples: dst.Samples[:0]}

	m := s.start(driver[0])
	y := state{m.mass(m.manifold), s.Line.mass(s.Unit, s.Air, m.chamber, m.rod)}
	dst.ManifoldMass[0], dst.ChamberMass[0] = y[0], y[1]

	first, last := driver[0].Time, driver[len(driver)-1].Time
	due := 0 // index of the next sample
	ode := stiff{rel: tolerance, scale: state{m.mass(s.Air.Pressure), s.Line.mass(s.Unit, s.Air, s.Air.Pressure, 0)}}
	ode.f = func(t float64, y state) state {
		a := m.at(t, y)
		return state{a.In + a.Hose - a.Out, a.Torn - a.Hose}
	}
	h := 1e-4
	for i := range driver[1:] {
		m.from, m.to = driver[i], driver[i+1]
		var err error
		y, h, err = ode.span(m.from.Time, m.to.Time, y, h, func(t0, t1 float64, y0, f0, y1, f1 state) {
			for ; first+float64(due)*every <= t1; due++ {
				t := first + float64(due)*every
				dst.Samples = append(dst.Samples, m.at(t, between(t0, t1, y0, f0, y1, f1, t)))
			}
			_, m.rod = s.Line.pressure(s.Unit, s.Air, y1[1], m.rod)
		})
		if err != nil {
			return nil, err
		}
	}
	if t := first + float64(due)*every; t <= last+1e-9*every { // rounding of the last sample's time
		dst.Samples = append(dst.Samples, m.at(last, y))
	}
	dst.ManifoldMass[1], dst.ChamberMass[1] = y[0], y[1]
	dst.Steps, dst.Rejected, dst.Calls = ode.steps, ode.rejected, ode.calls
	for _, a := range dst.Samples {
		if err := checkBurned(s.Engine.burned(a.Omega, s.Air, a.Manifold)); err != nil {
			return nil, fmt.Errorf("at %.3g s: %w", a.Time, err)
		}
	}
	return dst, nil
}

func (s *System) checkRun(driver []Moment, every, tolerance float64) error {
	if err := s.Check(); err != nil {
		return err
	}
	err := check(
		rule("moments", float64(len(driver)), "moments", "2 or more", len(driver) >= 2),
		within("sample interval", every, "s", 1e-9, 1e6),
		within("tolerance", tolerance, "1", 1e-11, 1e-2),
	)
	if err != nil {
		return err
	}
	for i, d := range driver {
		if err := s.Engine.ready(s.Throttle, d.Throttle, d.Omega, s.Air); err != nil {
			return fmt.Errorf("moment %d: %w", i+1, err)
		}
		if err := check(rule("time", d.Time, "s", "at most a million and at least a microsecond after the moment before", math.Abs(d.Time) <= 1e6 && (i == 0 || d.Time-driver[i-1].Time >= 1e-6))); err != nil {
			return fmt.Errorf("moment %d: %w", i+1, err)
		}
	}
	span := driver[len(driver)-1].Time - driver[0].Time
	return check(within("samples", span/every, "samples", 0, 1e6))
}

// Steady returns the state of manifold, hose and unit at a throttle angle in rad
// and a distributor speed in rad/s that do not change; the rod has come from
// rest.
func (s *System) Steady(throttle, omega float64) (Sample, error) {
	if err := s.Check(); err != nil {
		return Sample{}, err
	}
	if err := s.Engine.ready(s.Throttle, throttle, omega, s.Air); err != nil {
		return Sample{}, err
	}
	d := Moment{Throttle: throttle, Omega: omega}
	m := s.start(d)
	a := m.at(0, state{m.mass(m.manifold), s.Line.mass(s.Unit, s.Air, m.chamber, m.rod)})
	return a, checkBurned(s.Engine.burned(omega, s.Air, a.Manifold))
}

// motion is a system on its way between two moments.
type motion struct {
	*System
	from, to          Moment
	manifold, chamber float64 // Pa at the start
	rod               float64 // m, where friction last left it
}

// start is the steady state at a moment. The leak's air comes into the manifold
// through the hose; as it does not depend on much but the leak, a few rounds
// settle it.
func (s *System) start(d Moment) motion {
	m := motion{System: s, from: d, to: d}
	hose := 0.0
	for range 60 {
		before := m.manifold
		m.manifold = root(1e-3*s.Air.Pressure, s.Air.Pressure, func(p float64) float64 {
			return s.Throttle.flow(d.Throttle, s.Air, p) + hose - s.Engine.flow(d.Omega, s.Air, p)
		})
		m.chamber = s.Line.chamber(s.Air, m.port(d.Throttle, m.manifold))
		hose = dryAir.flow(s.Line.Leak, s.Air.Pressure, s.Air.Temperature, m.chamber)
		if math.Abs(m.manifold-before) <= 1e-12*s.Air.Pressure {
			break
		}
	}
	m.rod = s.Unit.rod(s.Air.Pressure-m.chamber, Pulling)
	return m
}

// port is the pressure at the hose's fitting.
func (s *System) port(throttle, manifold float64) float64 {
	if s.Source == FromPort {
		return s.Throttle.portPressure(s.Port, throttle, s.Air, math.Min(manifold, s.Air.Pressure))
	}
	return manifold
}

// mass is the air in the manifold at a pressure.
func (m *motion) mass(p float64) float64 { return p * m.Engine.Volume / (Air.R * m.Engine.Temperature) }

// at works out pressures and flows at a time from the masses of air.
func (m *motion) at(t float64, y state) Sample {
	a := Sample{Moment: m.from}
	if span := m.to.Time - m.from.Time; span > 0 {
		share := (t - m.from.Time) / span
		a.Throttle += share * (m.to.Throttle - m.from.Throttle)
		a.Omega += share * (m.to.Omega - m.from.Omega)
	}
	a.Time = t
	a.Manifold = y[0] / m.mass(1)
	a.Chamber, a.Rod = m.Line.pressure(m.Unit, m.Air, y[1], m.rod)
	a.Port = m.port(a.Throttle, a.Manifold)
	a.Theta = m.Unit.angle(a.Rod)
	// The trial stages of a step may overshoot the surrounding air by a hair.
	p := math.Min(a.Manifold, m.Air.Pressure)
	a.In = m.Throttle.flow(a.Throttle, m.Air, p)
	a.Out = m.Engine.flow(a.Omega, m.Air, p)
	a.Hose = dryAir.between(m.Line.Restriction, a.Chamber, a.Port, m.Air.Temperature)
	a.Torn = dryAir.between(m.Line.Leak, m.Air.Pressure, a.Chamber, m.Air.Temperature)
	return a
}

// between is the cubic through both ends of a step and their slopes.
func between(t0, t1 float64, y0, f0, y1, f1 state, t float64) state {
	h := t1 - t0
	s := (t - t0) / h
	var y state
	for i := range y {
		y[i] = y0[i]*(1+2*s)*(1-s)*(1-s) + y1[i]*s*s*(3-2*s) + h*s*(1-s)*(f0[i]*(1-s)-f1[i]*s)
	}
	return y
}
