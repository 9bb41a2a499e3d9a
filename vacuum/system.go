package vacuum

import (
	"fmt"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
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

// String returns "manifold" or "ported", and "unknown" for any other value.
func (s Source) String() string {
	switch s {
	case FromManifold:
		return "manifold"
	case FromPort:
		return "ported"
	}
	return "unknown"
}

// System is an engine with its throttle, the hose and the unit, in the air of the
// day.
type System struct {
	Throttle airpath.Throttle
	Intake   airpath.Intake
	Air      air.Ambient
	Source   Source
	Port     Port // used with FromPort
	Hose     Hose
	Unit     Unit
}

// Check refuses a system with a part that refuses itself, and a nil one.
func (s *System) Check() error {
	_, err := s.path()
	return err
}

// path checks the system and readies the engine's side of it.
func (s *System) path() (*airpath.Path, error) {
	if s == nil {
		return nil, fmt.Errorf("%w: system is nil, valid is an engine with a unit", errRange)
	}
	p, err := airpath.New(s.Intake, s.Throttle, s.Air)
	if err != nil {
		return nil, fmt.Errorf("vacuum: %w", err)
	}
	if s.Source != FromManifold && s.Source != FromPort {
		return nil, refuse("source", float64(s.Source), "", "FromManifold or FromPort")
	}
	if s.Source == FromPort {
		if err := s.Port.check(s.Throttle); err != nil {
			return nil, err
		}
	}
	return p, s.Hose.check(s.Unit)
}

// port is the pressure at the hose's fitting.
func (s *System) port(throttle, manifold float64) float64 {
	if s.Source == FromPort {
		return s.Port.pressure(s.Throttle, throttle, s.Air, min(manifold, s.Air.Pressure))
	}
	return manifold
}
