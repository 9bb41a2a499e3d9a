package mapping

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock/air"
)

// Map is the total spark advance over engine speed and manifold pressure, with
// the hose on a source that has the manifold's vacuum: a fitting below the
// throttle, or a port that the throttle has passed. Make one with [New].
type Map struct {
	RPM      []float64 // engine rpm, rising
	Pressure []float64 // Pa absolute in the manifold, rising

	// Rising and Falling are crank degrees BTDC, one row of pressures per speed:
	// Rising has speed and vacuum risen to their values, Falling both fallen, with
	// dry friction the other way in each.
	Rising, Falling []float64

	// What the rows and columns are made of: mechanical advance with static and
	// delay per speed, and vacuum advance per pressure; risen, then fallen.
	speed, load [2][]float64
	omega       []float64
}

// New fills a map of the distributor in the ambient air: at every speed (engine
// rpm, 0 to 20000, rising) and every manifold pressure (Pa, 1 to ambient, rising)
//
//	static + mechanical(rpm) + vacuum(ambient - pressure) - delay(rpm)
//
// A distributor without a vacuum unit gives a map that does not depend on
// pressure. dst, which may be nil, is reused and keeps no part of the slices
// given. The sum separates into a part of speed and a part of pressure, so a map
// costs one look-up per row and per column.
func New(dst *Map, d *advance.Distributor, a air.Ambient, rpm, pressure []float64) (*Map, error) {
	if d == nil {
		return nil, missing("distributor")
	}
	if err := d.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	if err := a.Check(); err != nil {
		return nil, fmt.Errorf("mapping: %w", err)
	}
	if err := rises("engine speed", rpm, "rpm crank", 0, 20000); err != nil {
		return nil, err
	}
	if err := rises("manifold pressure", pressure, "Pa", 1, a.Pressure); err != nil {
		return nil, err
	}
	if dst == nil {
		dst = new(Map)
	}
	dst.RPM = append(dst.RPM[:0], rpm...)
	dst.Pressure = append(dst.Pressure[:0], pressure...)
	dst.omega = dst.omega[:0]
	for _, n := range rpm {
		dst.omega = append(dst.omega, d.Drive.Omega(n))
	}
	for i, dir := range [...]flyweights.Direction{flyweights.Rising, flyweights.Falling} {
		dst.speed[i] = d.Mechanism.Sweep(dst.speed[i], dst.omega, dir)
		for k, n := range rpm {
			dst.speed[i][k] = d.Static + d.Drive.CrankDegrees(dst.speed[i][k]) - advance.DelayDegrees(d.Delay, n)
		}
		dst.load[i] = dst.load[i][:0]
		for _, p := range pressure {
			theta, err := pulled(d, a.Pressure-p, dir)
			if err != nil {
				return nil, err
			}
			dst.load[i] = append(dst.load[i], d.Drive.CrankDegrees(theta))
		}
	}
	dst.Rising = dst.sum(dst.Rising, 0)
	dst.Falling = dst.sum(dst.Falling, 1)
	return dst, nil
}

// pulled is the turn of the plate in rad at a vacuum in Pa that has risen or
// fallen.
func pulled(d *advance.Distributor, v float64, dir flyweights.Direction) (float64, error) {
	switch {
	case d.Vacuum == nil:
		return 0, nil
	case dir == flyweights.Falling:
		return d.Vacuum.Retreat(v)
	}
	return d.Vacuum.Advance(v)
}

func (m *Map) sum(dst []float64, way int) []float64 {
	dst = dst[:0]
	for _, a := range m.speed[way] {
		for _, b := range m.load[way] {
			dst = append(dst, a+b)
		}
	}
	return dst
}

// check refuses a map that was not made by New.
func (m *Map) check() error {
	if m == nil {
		return missing("map")
	}
	if n := len(m.RPM) * len(m.Pressure); n == 0 || len(m.Rising) != n || len(m.Falling) != n {
		return fmt.Errorf("%w: map has %d speeds, %d pressures, %d rising and %d falling totals, valid is one made with New", errRange, len(m.RPM), len(m.Pressure), len(m.Rising), len(m.Falling))
	}
	return nil
}

// rises refuses an axis that is empty, does not rise, or leaves its range.
func rises(name string, xs []float64, unit string, lo, hi float64) error {
	if len(xs) == 0 {
		return fmt.Errorf("%w: %s axis is empty, valid is one value or more", errRange, name)
	}
	for i, x := range xs {
		if err := check(within(name, x, unit, lo, hi)); err != nil {
			return err
		}
		if i > 0 && x <= xs[i-1] {
			return fmt.Errorf("%w: %s %d is %.6g %s, valid is above the %.6g %s before it", errRange, name, i+1, x, unit, xs[i-1], unit)
		}
	}
	return nil
}
