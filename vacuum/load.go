package vacuum

import (
	"fmt"
	"math"
)

// Load is the work asked of the engine at one speed, as mean pressures: work in
// one turn of the distributor shaft over the displacement.
type Load struct {
	Omega      float64 // rad/s at the distributor shaft
	Brake      float64 // Pa, work at the flywheel, >= 0; 0 at idle without accessories
	Friction   float64 // Pa, rubbing and accessories; see MotoredFriction
	Efficiency float64 // gross indicated efficiency, 0 to 0.6; about 0.33 at cruise, 0.22 at an idle with late spark (common practice, no source)
	Heat       float64 // J per kg of air that the fuel can release; 2.95e6 for gasoline at its correct mixture (44 MJ/kg over 14.7, common practice, no source)
}

// Check refuses values outside the ranges stated at the fields.
func (l Load) Check() error {
	return check(
		upTo("brake mean pressure", l.Brake, "Pa", 1e8),
		atLeastZero("friction mean pressure", l.Friction, "Pa"),
		upTo("friction mean pressure", l.Friction, "Pa", 1e8),
		size("brake and friction mean pressure together", l.Brake+l.Friction, "Pa", 2e8),
		within("indicated efficiency", l.Efficiency, "1", 0.001, 0.6),
		within("heat per mass of air", l.Heat, "J/kg", 1e6, 5e6),
	)
}

// MotoredFriction returns the friction mean pressure in Pa at a crank speed in
// rev/min, 300 to 8000:
//
//	0.97 + 0.15 (N/1000) + 0.05 (N/1000)^2 bar
//
// for four-cylinder spark-ignition engines of 0.8 to 2 litres, motored at wide
// open throttle (Heywood, Internal Combustion Engine Fundamentals (1988), chapter
// 13, from memory).
func MotoredFriction(crankRPM float64) (float64, error) {
	if err := check(within("crank speed", crankRPM, "rev/min", 300, 8000)); err != nil {
		return 0, err
	}
	n := crankRPM / 1000
	return (0.97 + 0.15*n + 0.05*n*n) * 1e5, nil
}

// Demand returns the manifold pressure in Pa at which the engine just does the
// work asked: what the charge gives pays for brake and friction and for pumping
// from the manifold to the exhaust,
//
//	Efficiency Heat charge(p) = Brake + Friction + (pe - p).
//
// Without overlap this is a straight equation in p. It refuses a load that would
// need more than the ambient pressure.
func (e Engine) Demand(l Load, air Ambient) (float64, error) {
	if err := e.Check(); err != nil {
		return 0, err
	}
	if err := l.Check(); err != nil {
		return 0, err
	}
	if err := air.Check(); err != nil {
		return 0, err
	}
	if err := e.checkSpeed(l.Omega); err != nil {
		return 0, err
	}
	short := func(p float64) float64 { // work that is lacking, falls with p
		return l.Brake + l.Friction + air.Pressure + e.Back - p - l.Efficiency*l.Heat*e.charge(l.Omega, air, p)
	}
	if lack := short(air.Pressure); lack > 0 {
		most := l.Brake - lack
		return 0, rule("brake mean pressure", l.Brake, "Pa", fmt.Sprintf("at most %.6g Pa, what the full throttle gives here", most), false).refusal()
	}
	p := root(1e-3*air.Pressure, air.Pressure, short)
	return p, checkBurned(e.burned(l.Omega, air, p))
}

// Vehicle is what the engine has to move. The zero value is refused.
type Vehicle struct {
	Mass         float64 // kg, > 0
	Rolling      float64 // rolling resistance coefficient, 0.01 to 0.02 on a hard road (common practice, no source), 0 to 0.4
	DragArea     float64 // m^2, drag coefficient times frontal area, >= 0
	TyreRadius   float64 // m, rolling radius, > 0
	Gearing      float64 // crank turns per wheel turn, > 0
	Transmission float64 // efficiency from crank to road, more than 0 and at most 1
}

// Check refuses values outside the ranges stated at the fields.
func (v Vehicle) Check() error {
	return check(
		size("vehicle mass", v.Mass, "kg", 1e6),
		within("rolling resistance", v.Rolling, "1", 0, 0.4),
		upTo("drag area", v.DragArea, "m^2", 1000),
		size("tyre radius", v.TyreRadius, "m", 10),
		size("gearing", v.Gearing, "crank turns per wheel turn", 1000),
		within("transmission efficiency", v.Transmission, "1", 0.01, 1),
	)
}

// RoadLoad returns the force in N that holds the vehicle back at a steady speed
// in m/s (0 to 100) on a grade (rise over run, -0.5 to 0.5):
//
//	m g (Rolling cos + sin) + 1/2 density DragArea speed^2
//
// (Heywood, Internal Combustion Engine Fundamentals (1988), section 2.3, from
// memory). Downhill it can be negative.
func (v Vehicle) RoadLoad(speed, grade float64, air Ambient) (float64, error) {
	if err := v.Check(); err != nil {
		return 0, err
	}
	if err := air.Check(); err != nil {
		return 0, err
	}
	if err := check(within("road speed", speed, "m/s", 0, 100), within("grade", grade, "1", -0.5, 0.5)); err != nil {
		return 0, err
	}
	slope := math.Atan(grade)
	return v.Mass*gravity*(v.Rolling*math.Cos(slope)+math.Sin(slope)) + air.Density()*v.DragArea*speed*speed/2, nil
}

// Cruise returns the distributor speed in rad/s and the brake mean pressure in Pa
// that the engine has to give at a steady road speed in m/s (above 0) on a grade.
// Where the road pushes, the brake mean pressure is 0: the throttle is closed.
// The engine needs its Drive.
func (v Vehicle) Cruise(e Engine, speed, grade float64, air Ambient) (omega, brake float64, err error) {
	force, err := v.RoadLoad(speed, grade, air)
	if err != nil {
		return 0, 0, err
	}
	if err := e.Check(); err != nil {
		return 0, 0, err
	}
	if err := check(within("drive", e.Drive, "crank turns per distributor turn", 0.25, 4), within("road speed", speed, "m/s", 0.01, 100)); err != nil {
		return 0, 0, err
	}
	omega = speed / v.TyreRadius * v.Gearing / e.Drive
	if err := e.checkSpeed(omega); err != nil {
		return 0, 0, err
	}
	perTurn := math.Max(0, force) * speed / v.Transmission * 2 * math.Pi / omega // J in one distributor turn
	return omega, perTurn / e.Displacement, nil
}
