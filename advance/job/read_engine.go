package job

import (
	"fmt"
	"math"
	"slices"

	"example.org/bobweight/advance/job/internal/schema"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/knock"
	"example.org/bobweight/knock/air"
)

// Speeds that stand in where the file gives none, rpm: those of a common road engine
// (common practice, no source).
const (
	usualIdle = 800.0
	usualTop  = 4500.0
	usualFrom = 1000.0 // lowest speed of full throttle
)

// readEngine reads what every job can use, idle and top, and, where it is whole, the
// engine itself.
func (j *Job) readEngine(r *validator, e *schema.Engine) {
	j.Idle = r.rpmOr("engine.idle", e.Idle, usualIdle, 300, 2000)
	j.Top = r.rpmOr("engine.top", e.Top, usualTop, 1200, 9000)
	j.From = r.rpmOr("engine.full_load_from", e.From, math.Min(usualFrom, j.Top/2), 600, 2500)
	if r.sound("engine.top", "engine.idle", "engine.full_load_from") && !(j.Top > j.Idle && j.Top > j.From) {
		r.fail("engine.top", "is %.0f rpm crank, valid is a speed above idle (%.0f) and above full_load_from (%.0f)", j.Top, j.Idle, j.From)
	}
	j.Damper = betweenOr(r, "engine.damper_diameter", e.Damper, 0, mm(50), mm(500))
	j.stops(r, e.Stops)
	cylinders := r.whole("engine.cylinders", e.Cylinders, 0, 1, 16)
	bore := between(r, "engine.bore", e.Bore, mm(30), mm(200))
	stroke := between(r, "engine.stroke", e.Stroke, mm(30), mm(200))
	rod := 1.75 * stroke
	if !r.lacks("engine.stroke") {
		rod = betweenOr(r, "engine.rod", e.Rod, quantity.Length(1.75*stroke), quantity.Length(1.1*stroke), quantity.Length(3*stroke))
	}
	j.Engine = knock.NewEngine(
		cylinders, bore, stroke, rod,
		between(r, "engine.compression_ratio", e.Compression, quantity.Ratio(5), quantity.Ratio(14)),
		j.readFuel(r, e.Fuel),
	)
	j.has.engine = !slices.ContainsFunc([]string{"cylinders", "bore", "stroke", "compression_ratio"}, func(name string) bool {
		return r.lacks("engine." + name)
	})
	ambient, err := air.Standard(betweenOr(r, "engine.altitude", e.Altitude, 0, mm(-400e3), mm(4500e3)))
	r.wrap("engine.altitude", err)
	j.Condition = knock.Condition{
		RPM: 2000, Ambient: ambient.Pressure,
		InletTemperature: betweenOr(r, "engine.inlet_temperature", e.Inlet, 303.15, 243.15, 373.15),
	}
	if r.sound("engine") && j.has.engine {
		r.wrap("engine", j.Engine.Check())
	}
	for i := range e.Observed {
		j.readObserved(r, fmt.Sprintf("engine.observed[%d]", i), &e.Observed[i])
	}
}

// stops reads the two marks at which a piston stop holds the crank: true top centre
// lies half-way between them.
func (j *Job) stops(r *validator, marks []quantity.Angle) {
	if !r.given("engine.piston_stop") {
		return
	}
	if len(marks) != 2 {
		r.fail("engine.piston_stop", "has %s, valid is two, [before top centre, after it], as the ring shows them, both without a sign", counted(len(marks), "angle"))
		return
	}
	before := r.degrees("engine.piston_stop[0]", marks[0], 1, 120)
	after := r.degrees("engine.piston_stop[1]", marks[1], 1, 120)
	j.MarkError = (before - after) / 2
}

// octaneByRatio is what is known of every carburetted engine that stands as it was built.
const octaneByRatio = "octane by ratio"

// readObserved reads one observation. One without speed or spark is asked for and
// left out.
func (j *Job) readObserved(r *validator, at string, o *schema.Observed) {
	kinds := map[string]knock.Kind{"trace knock": knock.TraceKnock, "no knock": knock.NoKnock, "backed off": knock.BackedOff,
		"best torque": knock.BestTorque, "maker's curve": knock.MakersSpark}
	if o.What == octaneByRatio {
		for _, field := range []string{"at", "spark", "backed_off_by", "fuel"} {
			if r.given(at + "." + field) {
				r.fail(at+"."+field, "does not go with %q: the compression ratio says it all", o.What)
			}
		}
		j.byRatio = true
		return
	}
	one := knock.Observation{Condition: j.Condition, Spark: r.degrees(at+".spark", o.Spark, 0, 70)}
	one.Condition.RPM = r.rpm(at+".at", o.At, 500, 8000)
	kind, known := kinds[o.What]
	switch {
	case !r.given(at + ".what"):
		r.lack(at + ".what")
	case !known:
		r.fail(at+".what", "is %q, valid is \"trace knock\", \"no knock\", \"backed off\", \"best torque\", \"maker's curve\" or %q", o.What, octaneByRatio)
	case r.given(at+".backed_off_by") && kind != knock.BackedOff:
		r.fail(at+".backed_off_by", "goes with \"backed off\" only, this is %q", o.What)
	case r.given(at+".fuel") && kind != knock.MakersSpark:
		r.fail(at+".fuel", "goes with \"maker's curve\" only, this is %q: what was heard was heard on the engine's fuel", o.What)
	case kind == knock.MakersSpark && len(o.Fuel) == 0:
		r.lack(at + ".fuel")
	case kind == knock.MakersSpark:
		fuel, _ := readOctane(r, at+".fuel", o.Fuel)
		one.Fuel = &fuel
	}
	if r.given(at + ".backed_off_by") {
		one.Retard = r.degrees(at+".backed_off_by", o.By, 0.5, 30)
	}
	one.Kind = kind
	if !r.lacks(at) {
		j.Observed = append(j.Observed, one)
	}
}

// Research and motor octane numbers of pump petrol lie this far apart, and this far
// either way: (R+M)/2 hides which is which (common practice, no source).
const (
	usualSensitivity  = 9.0
	sensitivityWithin = 3.0
)

// The fuel where nobody says which: the middle of what pumps sell, and the least of it
// (common practice, no source).
var usualFuel, leastFuel = knock.Fuel{RON: 95, MON: 85}, knock.Fuel{RON: 91, MON: 82}

// readFuel reads the fuel in the tank. Where the file leaves it open, FuelLow is the one
// that knocks soonest.
func (j *Job) readFuel(r *validator, list []schema.Octane) (fuel knock.Fuel) {
	if len(list) == 0 {
		r.lack("engine.fuel")
		j.FuelLow = &leastFuel
		return usualFuel
	}
	fuel, j.FuelLow = readOctane(r, "engine.fuel", list)
	return fuel
}

// readOctane reads octane numbers: both, one of them, or their mean as a pump shows it.
// The second fuel is the one that knocks soonest of those that they may mean, or nil.
func readOctane(r *validator, at string, list []schema.Octane) (fuel knock.Fuel, low *knock.Fuel) {
	for _, o := range list {
		switch {
		case o.Pump && len(list) == 1:
			low = &knock.Fuel{
				RON: o.Number + (usualSensitivity-sensitivityWithin)/2,
				MON: o.Number - (usualSensitivity-sensitivityWithin)/2,
			}
			return knock.Fuel{RON: o.Number + usualSensitivity/2, MON: o.Number - usualSensitivity/2}, low
		case o.Motor && fuel.MON == 0:
			fuel.MON = o.Number
		case !o.Motor && !o.Pump && fuel.RON == 0:
			fuel.RON = o.Number
		}
	}
	switch {
	case len(list) == 1 && fuel.RON > 0:
		fuel.MON = fuel.RON - usualSensitivity
		low = &knock.Fuel{RON: fuel.RON, MON: fuel.MON - sensitivityWithin}
	case len(list) == 1 && fuel.MON > 0:
		fuel.RON = fuel.MON + usualSensitivity
		low = &knock.Fuel{RON: fuel.RON - sensitivityWithin, MON: fuel.MON}
	case len(list) != 2 || fuel.RON == 0 || fuel.MON == 0:
		r.fail(at, "needs a research and a motor octane number, such as [\"95 RON\", \"85 MON\"], or their mean, such as [\"91 (R+M)/2\"]")
	case fuel.MON > fuel.RON:
		r.fail(at, "has a motor octane number of %g above the research octane number of %g", fuel.MON, fuel.RON)
	}
	return fuel, low
}
