package mapping

import (
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

// OrdinarySystem returns an engine with a throttle, a port and a hose of ordinary size,
// for questions whose answer does not hang much on them: plates of 700 mm^2 for each
// litre, a drilling of half a millimetre in the hose, 35 cm^3 of hose and chamber
// (common practice, no source). The unit is left out: [Idle] and [TipInTransient] take
// that of the distributor. It refuses what knock.Engine.Check and air.Ambient.Check
// refuse.
func OrdinarySystem(e knock.Engine, a air.Ambient) (*vacuum.System, error) {
	swept, err := e.Displacement()
	if err != nil {
		return nil, err
	}
	if err := a.Check(); err != nil {
		return nil, err
	}
	const closed = 8 * math.Pi / 180
	area := 0.7 * swept * float64(e.Cylinders) // m^2: 700 mm^2 per litre
	return &vacuum.System{
		Throttle: airpath.Throttle{Bore: math.Sqrt(4 * area / math.Pi), Closed: closed, Discharge: 0.8, Bypass: 5e-3 * area},
		Intake:   airpath.Intake{Engine: e, BackPressure: 2e3},
		Air:      a,
		Port:     vacuum.Port{Height: 1e-3, Diameter: 1e-3},
		Hose:     vacuum.Hose{Restriction: 1.4e-7, Volume: 35e-6},
	}, nil
}

// SnapOpen returns the question to [TipInTransient] of a throttle that is snapped open
// within a tenth of a second and held for three seconds, from a steady speed in rpm at
// which the manifold has a vacuum in Pa. The speed stays: a heavy car hardly gains any
// in that time. It refuses a vacuum that no throttle opening gives at that speed, and a
// distributor that fails its check.
func SnapOpen(d *advance.Distributor, s *vacuum.System, rpm, depth float64) (TipIn, error) {
	if s == nil {
		return TipIn{}, missing("system")
	}
	if err := d.Check(); err != nil {
		return TipIn{}, err
	}
	path, err := airpath.New(s.Intake, s.Throttle, s.Air)
	if err != nil {
		return TipIn{}, err
	}
	p := s.Air.Pressure - depth
	if _, err := path.Burned(rpm, p); err != nil {
		return TipIn{}, err
	}
	// The opening passes what the engine draws.
	square := air.Through(1, s.Air.Pressure, p, s.Air.Temperature) // kg/s past a square metre
	if !(square > 0) {
		return TipIn{}, check(within("manifold vacuum", depth, "Pa", 1, s.Air.Pressure-1))
	}
	angle, err := s.Throttle.Opening(path.Out(rpm, p) / square)
	if err != nil {
		return TipIn{}, err
	}
	at := func(time, throttle float64) vacuum.Input {
		return vacuum.Input{Time: time, Throttle: throttle, RPM: rpm}
	}
	const open = 85 * math.Pi / 180
	return TipIn{
		Distributor: d, System: s,
		Inputs:   []vacuum.Input{at(0, angle), at(0.1, angle), at(0.2, math.Max(angle, open)), at(3.2, math.Max(angle, open))},
		Settings: &vacuum.RunSettings{Every: 5e-3},
	}, nil
}
