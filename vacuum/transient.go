package vacuum

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
)

// Input is one point of what throttle and engine speed do; between two points both
// change in straight lines.
type Input struct {
	Time     float64 // s, rising
	Throttle float64 // rad
	RPM      float64 // of the crank
}

// Sample is the air and the unit at one time.
type Sample struct {
	Input
	Manifold float64 // Pa absolute
	Port     float64 // Pa absolute at the hose's fitting
	Chamber  float64 // Pa absolute in the unit
	Rod      float64 // m
	Theta    float64 // rad at the distributor shaft
	In       float64 // kg/s past the throttle
	Out      float64 // kg/s into the engine
	Hose     float64 // kg/s out of the unit's chamber
	Leak     float64 // kg/s through the torn diaphragm
}

// RunSettings tune [System.Run]; nil means the defaults.
type RunSettings struct {
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

// Run follows manifold, chamber and unit through what the inputs does, from the
// steady state at the first moment to the last. Both spaces keep their
// temperature; their masses of air are the state:
//
//	dM/dt = throttle + hose - engine,  dm/dt = leak - hose
//
// The rod follows the chamber without mass, held by its friction. Samples are
// evenly spaced and interpolated in the steps. dst, which may be nil, is reused.
//
// Refused: a system that does not pass [System.Check], fewer than two points,
// times that do not rise, throttle angles or speeds outside the range of their
// parts, more than a million samples, and a run in which burned gas exceeds the
// range of airpath.Path.Burned. Cancelling ctx ends the run with its error.
func (s *System) Run(ctx context.Context, dst *Run, inputs []Input, set *RunSettings) (*Run, error) {
	if ctx == nil {
		return nil, fmt.Errorf("%w: context is nil, valid is one that is given", errRange)
	}
	every, tolerance := 0.01, 1e-6
	if set != nil && set.Every != 0 {
		every = set.Every
	}
	if set != nil && set.Tolerance != 0 {
		tolerance = set.Tolerance
	}
	path, err := s.checkRun(inputs, every, tolerance)
	if err != nil {
		return nil, err
	}
	if dst == nil {
		dst = new(Run)
	}
	*dst = Run{Samples: dst.Samples[:0]}

	m, err := s.start(path, inputs[0])
	if err != nil {
		return nil, err
	}
	y := state{path.Mass(m.manifold), s.Hose.mass(s.Unit, s.Air, m.chamber, m.rod)}
	dst.ManifoldMass[0], dst.ChamberMass[0] = y[0], y[1]

	first, last := inputs[0].Time, inputs[len(inputs)-1].Time
	due := 0 // index of the next sample
	ode := rosenbrock{ctx: ctx, rel: tolerance, scale: state{path.Mass(s.Air.Pressure), s.Hose.mass(s.Unit, s.Air, s.Air.Pressure, 0)}}
	ode.f = func(t float64, y state) state {
		a := m.at(t, y)
		return state{a.In + a.Hose - a.Out, a.Leak - a.Hose}
	}
	h := 1e-4
	for i := range inputs[1:] {
		m.from, m.to = inputs[i], inputs[i+1]
		var err error
		y, h, err = ode.span(m.from.Time, m.to.Time, y, h, func(t0, t1 float64, y0, f0, y1, f1 state) {
			for ; first+float64(due)*every <= t1; due++ {
				t := first + float64(due)*every
				dst.Samples = append(dst.Samples, m.at(t, between(t0, t1, y0, f0, y1, f1, t)))
			}
			_, m.rod = s.Hose.pressure(s.Unit, s.Air, y1[1], m.rod)
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
		if _, err := path.Burned(a.RPM, min(a.Manifold, s.Air.Pressure)); err != nil {
			return nil, fmt.Errorf("at %.3g s: %w", a.Time, err)
		}
	}
	return dst, nil
}

func (s *System) checkRun(inputs []Input, every, tolerance float64) (*airpath.Path, error) {
	path, err := s.path()
	if err != nil {
		return nil, err
	}
	if len(inputs) < 2 {
		return nil, refuse("input points", float64(len(inputs)), "", "2 or more")
	}
	if err := check(within("sample interval", every, "s", 1e-9, 1e6), within("tolerance", tolerance, "1", 1e-11, 1e-2)); err != nil {
		return nil, err
	}
	for i, d := range inputs {
		if err := path.Ready(d.Throttle, d.RPM); err != nil {
			return nil, fmt.Errorf("input point %d: %w", i+1, err)
		}
		if !(math.Abs(d.Time) <= 1e6 && (i == 0 || d.Time-inputs[i-1].Time >= 1e-6)) {
			return nil, fmt.Errorf("input point %d: %w", i+1, refuse("time", d.Time, "s", "at most a million and at least a microsecond after the point before"))
		}
	}
	span := inputs[len(inputs)-1].Time - inputs[0].Time
	return path, check(within("samples", span/every, "", 0, 1e6))
}

// Steady returns the state of manifold, hose and unit at a throttle angle in rad
// and an engine speed in rpm that do not change; the rod has come from rest.
func (s *System) Steady(throttle, rpm float64) (Sample, error) {
	path, err := s.path()
	if err != nil {
		return Sample{}, err
	}
	if err := path.Ready(throttle, rpm); err != nil {
		return Sample{}, fmt.Errorf("vacuum: %w", err)
	}
	m, err := s.start(path, Input{Throttle: throttle, RPM: rpm})
	if err != nil {
		return Sample{}, err
	}
	return m.at(0, state{path.Mass(m.manifold), s.Hose.mass(s.Unit, s.Air, m.chamber, m.rod)}), nil
}

// motion is a system on its way between two points.
type motion struct {
	*System
	path              *airpath.Path
	from, to          Input
	manifold, chamber float64 // Pa at the start
	rod               float64 // m, where friction last left it
}

// start is the steady state at a point. The leak's air comes into the manifold
// through the hose; as it does not depend on much but the leak, a few rounds
// settle it.
func (s *System) start(path *airpath.Path, d Input) (motion, error) {
	m := motion{System: s, path: path, from: d, to: d}
	hose := 0.0
	for range 60 {
		before := m.manifold
		var err error
		if m.manifold, err = path.Manifold(d.Throttle, d.RPM, hose); err != nil {
			return m, fmt.Errorf("vacuum: %w", err)
		}
		m.chamber = s.Hose.chamber(s.Air, s.port(d.Throttle, m.manifold))
		hose = air.Through(s.Hose.Leak, s.Air.Pressure, m.chamber, s.Air.Temperature)
		if math.Abs(m.manifold-before) <= 1e-12*s.Air.Pressure {
			break
		}
	}
	m.rod = s.Unit.rod(s.Air.Pressure-m.chamber, pulling)
	return m, nil
}

// at works out pressures and flows at a time from the masses of air.
func (m *motion) at(t float64, y state) Sample {
	a := Sample{Input: m.from}
	if span := m.to.Time - m.from.Time; span > 0 {
		share := (t - m.from.Time) / span
		a.Throttle += share * (m.to.Throttle - m.from.Throttle)
		a.RPM += share * (m.to.RPM - m.from.RPM)
	}
	a.Time = t
	a.Manifold = y[0] / m.path.Mass(1)
	a.Chamber, a.Rod = m.Hose.pressure(m.Unit, m.Air, y[1], m.rod)
	a.Port = m.port(a.Throttle, a.Manifold)
	a.Theta = m.Unit.angle(a.Rod)
	// The trial stages of a step may overshoot the surrounding air by a hair; the
	// path takes that of the air then.
	a.In = m.path.In(a.Throttle, a.Manifold)
	a.Out = m.path.Out(a.RPM, a.Manifold)
	a.Hose = air.Through(m.Hose.Restriction, a.Chamber, a.Port, m.Air.Temperature)
	a.Leak = air.Through(m.Hose.Leak, m.Air.Pressure, a.Chamber, m.Air.Temperature)
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
