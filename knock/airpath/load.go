package airpath

import (
	"fmt"
	"math"

	"example.org/bobweight/knock/air"
	"example.org/bobweight/knock/correlations"
	"example.org/bobweight/springs/valid"
)

// Load is the work asked of the engine at one speed, as mean pressures: work of a
// cycle over the displacement. RPM must be given; any other field left at zero takes
// the default named beside it.
type Load struct {
	RPM        float64 // of the crank, 10 to 20000
	Brake      float64 // Pa, work at the flywheel; 0 at idle without accessories, negative where the road drives the engine
	Friction   float64 // Pa, rubbing and accessories; 0 = the engine's own by correlations.FrictionPressure, which asks for 300 to 9000 rpm
	Efficiency float64 // gross indicated efficiency, 0.001 to 0.6; 0 = 0.33 as at cruise; 0.22 at an idle with late spark (both common practice, no source)
	Heat       float64 // J per kg of air that the fuel can release, 1e6 to 5e6; 0 = 2.95e6, gasoline at its correct mixture (44 MJ/kg over 14.7, common practice, no source)
}

// complete fills in the defaults and checks.
func (l Load) complete(p *pump) (Load, error) {
	if err := checkSpeed(l.RPM); err != nil {
		return l, err
	}
	if l.Friction == 0 {
		f, err := correlations.FrictionPressure(l.RPM)
		if err != nil {
			return l, err
		}
		l.Friction = f * p.friction
	}
	if l.Efficiency == 0 {
		l.Efficiency = 0.33
	}
	if l.Heat == 0 {
		l.Heat = 2.95e6
	}
	return l, valid.Check(errRange,
		valid.In("brake mean pressure", l.Brake, "Pa", -1e8, 1e8),
		valid.In("friction mean pressure", l.Friction, "Pa", 0, 1e8),
		valid.In("indicated efficiency", l.Efficiency, "", 0.001, 0.6),
		valid.In("heat per mass of air", l.Heat, "J/kg", 1e6, 5e6),
	)
}

// Demand returns the manifold pressure in Pa at which the engine just does the
// work asked: what the charge gives pays for brake and friction and for pumping
// from the manifold to the exhaust,
//
//	Efficiency Heat charge(p) = Brake + Friction + (pe - p).
//
// Without overlap this is a straight equation in p. It refuses a load that would
// need more than the ambient pressure, and one so small that no vacuum is deep
// enough for it.
func (in Intake) Demand(l Load, a air.Ambient) (float64, error) {
	p, err := in.pump()
	if err != nil {
		return 0, err
	}
	if l, err = l.complete(&p); err != nil {
		return 0, err
	}
	if err := a.Check(); err != nil {
		return 0, err
	}
	short := func(inlet float64) float64 { return -p.surplus(l, a, inlet, 1) } // falls with the pressure
	if lack := short(a.Pressure); lack > 0 {
		return 0, valid.Refuse(errRange, "brake mean pressure", l.Brake, "Pa", fmt.Sprintf("at most %.6g Pa, what the full throttle gives here", l.Brake-lack))
	}
	least := 1e-3 * a.Pressure
	if short(least) < 0 {
		return 0, valid.Refuse(errRange, "brake mean pressure", l.Brake, "Pa", "more, or less efficiency: with next to no air the engine makes more than this")
	}
	inlet, err := balance(least, a.Pressure, short)
	if err != nil {
		return 0, err
	}
	if err := checkBurned(p.burned(l.RPM, a, inlet)); err != nil {
		return 0, err
	}
	return inlet, nil
}

// surplus is the mean pressure in Pa that the charge gives, a share of it, less
// load, friction and pumping.
func (p *pump) surplus(l Load, a air.Ambient, inlet, share float64) float64 {
	return l.Efficiency*l.Heat*p.charge(l.RPM, a, inlet)*share - (l.Brake + l.Friction + a.Pressure + p.back - inlet)
}

// Surplus returns the mean pressure in Pa that the charge gives at a manifold
// pressure in Pa, taken as a share (0 to 1) for a spark off best torque, less load,
// friction and pumping; see [Intake.Demand]. It is 0 where the engine just holds
// its speed. It refuses what [Path.Burned] refuses.
func (p *Path) Surplus(l Load, manifold, share float64) (float64, error) {
	if _, err := p.Burned(l.RPM, manifold); err != nil {
		return 0, err
	}
	l, err := l.complete(&p.pump)
	if err != nil {
		return 0, err
	}
	if err := valid.Check(errRange, valid.In("share of the work", share, "", 0, 1)); err != nil {
		return 0, err
	}
	return p.pump.surplus(l, p.air, manifold, share), nil
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

// check refuses values outside the ranges stated at the fields.
func (v Vehicle) check() error {
	return valid.Check(errRange,
		valid.In("vehicle mass", v.Mass, "kg", 1, 1e6),
		valid.In("rolling resistance", v.Rolling, "", 0, 0.4),
		valid.In("drag area", v.DragArea, "m^2", 0, 1000),
		valid.In("tyre radius", v.TyreRadius, "m", 0.01, 10),
		valid.In("gearing", v.Gearing, "crank turns per wheel turn", 0.01, 1000),
		valid.In("transmission efficiency", v.Transmission, "", 0.01, 1),
	)
}

const gravity = 9.80665 // m/s^2, standard

// RoadLoad returns the force in N that holds the vehicle back at a steady speed
// in m/s (0 to 100) on a grade (rise over run, -0.5 to 0.5):
//
//	m g (Rolling cos + sin) + 1/2 density DragArea speed^2
//
// (Heywood, Internal Combustion Engine Fundamentals (1988), section 2.3, from
// memory). Downhill it can be negative.
func (v Vehicle) RoadLoad(speed, grade float64, a air.Ambient) (float64, error) {
	if err := v.check(); err != nil {
		return 0, err
	}
	if err := a.Check(); err != nil {
		return 0, err
	}
	if err := valid.Check(errRange,
		valid.In("road speed", speed, "m/s", 0, 100),
		valid.In("grade", grade, "", -0.5, 0.5)); err != nil {
		return 0, err
	}
	slope := math.Atan(grade)
	return v.Mass*gravity*(v.Rolling*math.Cos(slope)+math.Sin(slope)) + a.Density()*v.DragArea*speed*speed/2, nil
}

// Cruise returns the load of a steady road speed in m/s (0.01 to 100) on a grade:
// the engine's speed and the brake mean pressure that it has to give. Where the
// road pushes, the brake mean pressure is 0: the throttle is closed.
func (v Vehicle) Cruise(in Intake, speed, grade float64, a air.Ambient) (Load, error) {
	force, err := v.RoadLoad(speed, grade, a)
	if err != nil {
		return Load{}, err
	}
	p, err := in.pump()
	if err != nil {
		return Load{}, err
	}
	if err := valid.Check(errRange, valid.In("road speed", speed, "m/s", 0.01, 100)); err != nil {
		return Load{}, err
	}
	rpm := speed / v.TyreRadius * v.Gearing * 60 / (2 * math.Pi)
	if err := checkSpeed(rpm); err != nil {
		return Load{}, err
	}
	return Load{RPM: rpm, Brake: math.Max(0, force) * speed / v.Transmission / p.drawn(rpm)}, nil
}
