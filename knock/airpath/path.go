package airpath

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/springs/root"
	"example.org/bobweight/springs/valid"
)

// Path is an intake behind its throttle in the air of the day, ready to be asked
// often. Make one with [New]; the zero value gives no flow and no pressure.
type Path struct {
	throttle Throttle
	air      air.Ambient
	pump     pump
}

// New makes a path. It refuses what [Intake.check], [Throttle.check] and
// air.Ambient.Check refuse.
func New(in Intake, th Throttle, a air.Ambient) (*Path, error) {
	p, err := in.pump()
	if err != nil {
		return nil, err
	}
	if err := th.check(); err != nil {
		return nil, err
	}
	if err := a.Check(); err != nil {
		return nil, err
	}
	return &Path{throttle: th, air: a, pump: p}, nil
}

// Ready refuses a throttle angle in rad outside that of the closed plate to pi/2, a
// throttle that passes no air at all there, and an engine speed outside 10 to 20000
// rpm.
func (p *Path) Ready(angle, rpm float64) error {
	if p == nil || p.pump.filling == nil {
		return fmt.Errorf("%w: path is empty, valid is one made with New", errRange)
	}
	if err := p.throttle.checkAngle(angle); err != nil {
		return err
	}
	open := p.throttle.Discharge*p.throttle.area(angle) + p.throttle.Bypass
	if err := valid.Check(errRange, valid.Range{Field: "air past the throttle", Value: open, Unit: "m^2", To: 100, Above: true}); err != nil {
		return err
	}
	return checkSpeed(rpm)
}

// inside is a value taken to the nearer end of a range; NaN becomes the lower end.
func inside(x, lo, hi float64) float64 {
	if !(x > lo) {
		return lo
	}
	return math.Min(x, hi)
}

// In returns the air in kg/s past plates and bypass at a throttle angle in rad, into
// a manifold at a pressure in Pa.
func (p *Path) In(angle, manifold float64) float64 {
	if p == nil || p.pump.filling == nil {
		return 0
	}
	return p.throttle.flow(inside(angle, p.throttle.Closed, math.Pi/2), p.air, inside(manifold, 0, p.air.Pressure))
}

// Out returns the fresh mixture in kg/s that the engine draws at a speed in rpm from
// a manifold at a pressure in Pa. Where burned gas exceeds its range (see
// [Path.Burned]) the bound of that range is used.
func (p *Path) Out(rpm, manifold float64) float64 {
	if p == nil || p.pump.filling == nil {
		return 0
	}
	return p.pump.flow(inside(rpm, slowest, fastest), p.air, inside(manifold, 1, p.air.Pressure))
}

// Burned returns the share of burned gas that flows back through the valve overlap
// at a speed in rpm and a manifold pressure in Pa, as a share of the charge. It
// refuses a share above one half, where the correlation was never meant.
func (p *Path) Burned(rpm, manifold float64) (float64, error) {
	if p == nil || p.pump.filling == nil {
		return 0, fmt.Errorf("%w: path is empty, valid is one made with New", errRange)
	}
	if err := checkSpeed(rpm); err != nil {
		return 0, err
	}
	if _, err := p.air.Vacuum(manifold); err != nil {
		return 0, err
	}
	x := p.pump.burned(rpm, p.air, manifold)
	if err := checkBurned(x); err != nil {
		return 0, err
	}
	return x, nil
}

// Manifold returns the steady manifold pressure in Pa at a throttle angle in rad
// and an engine speed in rpm, with hose kg/s (0 to 1) of air entering beside the
// throttle: where what enters is what the engine draws, choked or not.
func (p *Path) Manifold(angle, rpm, hose float64) (float64, error) {
	if err := p.Ready(angle, rpm); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("air through the hose", hose, "kg/s", 0, 1)); err != nil {
		return 0, err
	}
	m, err := balance(1e-3*p.air.Pressure, p.air.Pressure, func(m float64) float64 {
		return p.throttle.flow(angle, p.air, m) + hose - p.pump.flow(rpm, p.air, m)
	})
	if err != nil {
		return 0, err
	}
	if _, err := p.Burned(rpm, m); err != nil {
		return 0, err
	}
	return m, nil
}

// Mass returns the air in kg in the manifold at a pressure in Pa, by the gas law.
func (p *Path) Mass(manifold float64) float64 {
	if p == nil || p.pump.filling == nil {
		return 0
	}
	return inside(manifold, 0, 1e9) * p.pump.volume / (air.Dry.R * p.pump.temperature)
}

// balance finds where a function that falls between two pressures crosses zero; the
// nearer end where it does not cross.
func balance(lo, hi float64, f func(float64) float64) (float64, error) {
	switch {
	case f(lo) <= 0:
		return lo, nil
	case f(hi) >= 0:
		return hi, nil
	}
	x, _, err := root.Brent(f, lo, hi, 0)
	if err != nil {
		return 0, fmt.Errorf("airpath: balance: %w", err)
	}
	return x, nil
}
