package job

import (
	"fmt"
	"math"

	"example.org/bobweight/advance/job/internal/schema"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/vacuum"
)

// readPump reads the unit from readings with a hand pump: they are its whole law.
func (j *Job) readPump(r *validator, v *schema.Vacuum) {
	for _, name := range []string{"diaphragm", "plate", "rate", "preload", "travel", "friction"} {
		if r.given("vacuum." + name) {
			r.fail("vacuum."+name, "stands beside pump, which says the same by readings; give one of the two")
		}
	}
	if n := len(v.Pump); n > 100 {
		r.fail("vacuum.pump", "there are %d readings, valid is 3 to 100", n)
		return
	}
	arm := betweenOr(r, "vacuum.arm", v.Arm, 0, mm(5), mm(100)) // 0 = not known
	j.Vacuum.ArmKnown = r.given("vacuum.arm")
	pull := arm // at which the rod pulls
	if !j.Vacuum.ArmKnown {
		pull = usualArm
	}
	var list []vacuum.PumpReading
	for i, p := range v.Pump {
		at := fmt.Sprintf("vacuum.pump[%d]", i)
		one := vacuum.PumpReading{Vacuum: between(r, at+".at", p.At, 0, fullVacuum), Falling: p.Falling}
		switch {
		case r.given(at + ".arm"):
			one.Event = r.event(at, p.Arm)
		case r.given(at + ".rod"):
			if r.given(at + ".shows") {
				r.fail(at+".rod", "stands beside shows; give one of the two in a reading")
			}
			one.Theta = math.Asin(min(1, between(r, at+".rod", p.Rod, 0, quantity.Length(0.9*pull))/pull))
			if !j.Vacuum.ArmKnown {
				j.Vacuum.noArm = true
				r.lack("vacuum.arm")
			}
		default:
			one.Theta = j.Drive.ShaftRadians(r.degrees(at+".shows", p.Shows, 0, 90))
		}
		if !r.lacks(at) {
			list = append(list, one)
		}
	}
	if len(list) < 3 {
		r.lack("vacuum.pump")
		return
	}
	if !r.sound("vacuum") {
		return
	}
	found, err := vacuum.Identify(list, vacuum.MeasurementError{})
	if err != nil {
		r.wrap("vacuum.pump", err)
		return
	}
	unit, err := found.Unit(arm)
	if err != nil {
		r.wrap("vacuum.pump", err)
		return
	}
	j.Vacuum.Unit, j.Vacuum.Pumped, j.has.unit = unit, found, true
	if found.Most.NoLow {
		r.lack("vacuum.pump[].shows")
	}
}

// event is what the arm does at a reading without degrees.
func (r *validator) event(at, arm string) vacuum.PumpEvent {
	if r.given(at+".shows") || r.given(at+".rod") {
		r.fail(at+".arm", "stands beside shows or rod; give those in a reading of their own, at a vacuum that is held")
	}
	switch arm {
	case "starts":
		return vacuum.Starts
	case "stops":
		return vacuum.Stops
	}
	r.fail(at+".arm", "is %q, valid is \"starts\" or \"stops\"", arm)
	return vacuum.Held
}

// usualArm is the arm with which travel of the rod is read where nobody measured it, m
// (common practice, no source): onset and full pull do not hang on it, and no degrees are
// told from it.
const usualArm = 25e-3

// turnUnread reports whether readings with a hand pump tell no degrees: how far the
// unit turns is then not known.
func (v *VacuumUnit) turnUnread() bool {
	return v.Pumped != nil && (v.Pumped.Most.NoLow || v.noArm)
}
