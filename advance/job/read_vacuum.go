package job

import (
	"example.org/bobweight/advance/job/internal/schema"
	"example.org/bobweight/vacuum"
)

// readVacuum reads the unit by its parts, and what the hose needs to know.
func (j *Job) readVacuum(r *validator, v *schema.Vacuum) {
	if v == nil {
		r.lack("vacuum.pump")
		return
	}
	if v.Wanted == nil && !j.has.engine {
		r.lack("vacuum.cruise_total") // no engine says what it wants there
	}
	j.Vacuum = &VacuumUnit{}
	if r.given("vacuum.pump") {
		j.readPump(r, v)
	} else {
		j.readUnit(r, v)
	}
	j.Vacuum.AtIdle = between(r, "vacuum.idle_vacuum", v.AtIdle, 0, 95e3)
	j.Vacuum.AtCruise = between(r, "vacuum.cruise_vacuum", v.AtCruise, 0, 95e3)
	j.Vacuum.Cruise = r.rpm("vacuum.cruise_speed", v.Cruise, 800, 6000)
	if v.Wanted != nil {
		j.Vacuum.Wanted = r.degrees("vacuum.cruise_total", *v.Wanted, 20, 65)
	}
	if !r.sound("vacuum", "engine.altitude") {
		return
	}
	if j.has.unit {
		if onset := j.Vacuum.Unit.Onset(); !(onset < fullVacuum) {
			r.fail("vacuum.preload", "holds the rod until %.0f kPa, more than any vacuum: the unit never moves", onset/1e3)
		}
	}
	if left := j.Condition.Ambient - j.Vacuum.AtCruise; r.given("vacuum.cruise_vacuum") && !(left >= thinnest) {
		r.fail("vacuum.cruise_vacuum", "leaves %.1f kPa of inlet pressure of the day's %.1f kPa, valid is %.0f kPa or more", left/1e3, j.Condition.Ambient/1e3, thinnest/1e3)
	}
	j.has.hose = j.has.unit && !j.Vacuum.turnUnread() && !r.lacks("vacuum.idle_vacuum") && !r.lacks("vacuum.cruise_vacuum") && !r.lacks("vacuum.cruise_speed")
}

// thinnest is the inlet pressure in Pa below which the engine model has nothing
// to say.
const thinnest = 15e3

// readUnit reads the unit by diaphragm, spring, rod and arm.
func (j *Job) readUnit(r *validator, v *schema.Vacuum) {
	plate := betweenOr(r, "vacuum.plate", v.Plate, 0, mm(0), mm(150))
	diaphragm := between(r, "vacuum.diaphragm", v.Diaphragm, mm(10), mm(150))
	unit := vacuum.Unit{
		Rate:      between(r, "vacuum.rate", v.Rate, 10, 1e6),
		Preload:   between(r, "vacuum.preload", v.Preload, 0, 500),
		Travel:    between(r, "vacuum.travel", v.Travel, mm(0.2), mm(40)),
		ArmRadius: between(r, "vacuum.arm", v.Arm, mm(5), mm(100)),
		Friction:  betweenOr(r, "vacuum.friction", v.Friction, 0, 0, 50),
	}
	for _, name := range []string{"diaphragm", "rate", "preload", "travel", "arm"} {
		if r.lacks("vacuum." + name) {
			return
		}
	}
	area, err := vacuum.FlatArea(diaphragm, plate)
	r.wrap("vacuum.plate", err)
	unit.Area = area
	j.Vacuum.Unit = unit
	if r.sound("vacuum") {
		r.wrap("vacuum", unit.Check())
		j.has.unit = true
	}
}
