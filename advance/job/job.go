package job

import (
	"bytes"
	"fmt"
	"math"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock"
	"example.org/bobweight/springs"
	"example.org/bobweight/vacuum"
)

// Job is a job that has been read and understood. Angles are crank degrees,
// speeds engine rpm, everything else is SI. Make one with [Read].
type Job struct {
	Title string
	Drive advance.Drive
	Idle  float64 // rpm
	Top   float64 // rpm
	// From is the lowest speed at which the engine is given full throttle, rpm: knock
	// does not matter below it.
	From float64
	// Damper is the diameter of the rim with the timing marks in m, 0 for none.
	Damper float64

	Readings []readings.Reading
	Settings readings.Settings

	Engine    knock.Engine
	Condition knock.Condition // full load, of the day; its RPM is open
	Observed  []knock.Observation

	Mechanism  flyweights.Mechanism // without springs, with the weights now fitted
	Places     []recipes.Position
	Drawer     recipes.Drawer
	Fitted     *recipes.Choice // nil when the springs now fitted are not named
	Slot       flyweights.Slot
	SlotTravel float64 // crank degrees that the slot as it is allows

	Wish   Wish
	Vacuum *VacuumUnit // nil for none
}

// Wish is the target with its defaults filled in.
type Wish struct {
	Total       float64 // crank degrees all in; 0 = what the engine wants and tolerates
	AllIn       recipes.Window
	AboveIdle   float64 // rpm; negative = the advance may have begun at idle
	KnockMargin float64
	Static      recipes.Span
	Keep        int
	Travel      float64 // least mechanical travel
	Snap        bool
}

// VacuumUnit is the unit with the vacuum that this engine makes, in Pa.
type VacuumUnit struct {
	Unit             vacuum.Unit
	AtIdle, AtCruise float64
	Cruise           float64 // rpm
	Wanted           float64 // crank degrees in total at cruise; 0 = what the engine wants
}

// Read reads a job file and checks what it means. Readings in a file of their
// own are fetched with open, by the name that the job gives; nil refuses such
// jobs. Every error wraps [ErrJob] and names line and field.
func Read(data []byte, open func(name string) ([]byte, error)) (*Job, error) {
	var f File
	lines, err := strict.Decode(data, &f)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrJob, err)
	}
	r := newValidator(&f, lines)
	j := &Job{Title: f.Title, Drive: r.drive}
	r.text("title", f.Title, 80)
	j.readEngine(r, &f.Engine)
	j.readReadings(r, &f, open)

	var l layout
	j.Mechanism, l, j.Places = mechanismOf(r, &f.Distributor)
	var travel float64
	j.Slot, travel = slotOf(r, &f.Distributor.Slot)
	j.SlotTravel = j.Drive.CrankDegrees(travel)
	j.Drawer = drawerOf(r, &f.Drawer, l)
	if r.err == nil {
		j.Fitted = fittedOf(r, &f.Distributor, &j.Drawer)
	}
	j.readTarget(r, &f.Target)
	if r.err == nil && !(j.SlotTravel >= j.Wish.Travel) {
		r.fail("distributor.slot", "lets the cam travel %.2f deg crank, less than the smallest_travel of %.2f deg crank that is worth keeping", j.SlotTravel, j.Wish.Travel)
	}
	j.readVacuum(r, f.Vacuum)
	if r.err == nil {
		j.checkMechanism(r, &f, travel)
	}
	if r.err != nil {
		return nil, r.err
	}
	return j, nil
}

func (j *Job) readEngine(r *validator, e *Engine) {
	stroke := between(r, "engine.stroke", e.Stroke, mm(30), mm(200))
	fuel := fuelOf(r, e.Fuel)
	j.Engine = knock.NewEngine(
		r.whole("engine.cylinders", e.Cylinders, 0, 1, 16),
		between(r, "engine.bore", e.Bore, mm(30), mm(200)),
		stroke,
		betweenOr(r, "engine.rod", e.Rod, quantity.Length(1.75*stroke), quantity.Length(1.1*stroke), quantity.Length(3*stroke)),
		between(r, "engine.compression_ratio", e.Compression, quantity.Ratio(5), quantity.Ratio(14)),
		fuel,
	)
	j.Idle = r.rpm("engine.idle", e.Idle, 300, 2000)
	j.Top = r.rpmOr("engine.top", e.Top, 4500, 3000, 9000)
	j.From = r.rpmOr("engine.full_load_from", e.From, 1000, 600, 2500)
	j.Damper = betweenOr(r, "engine.damper_diameter", e.Damper, 0, mm(50), mm(500))
	ambient, err := knock.AmbientAt(betweenOr(r, "engine.altitude", e.Altitude, 0, mm(-400e3), mm(4500e3)))
	r.wrap("engine.altitude", err)
	j.Condition = knock.Condition{
		RPM: 2000, Ambient: ambient,
		InletTemperature: betweenOr(r, "engine.inlet_temperature", e.Inlet, 303.15, 243.15, 373.15),
	}
	if r.err == nil {
		r.wrap("engine", j.Engine.Check())
	}
	for i, o := range e.Observed {
		at := fmt.Sprintf("engine.observed[%d]", i)
		one := knock.Observation{Condition: j.Condition, Spark: r.degrees(at+".spark", o.Spark, 0, 70)}
		one.Condition.RPM = r.rpm(at+".at", o.At, 500, 8000)
		switch o.What {
		case "trace knock":
			one.Kind = knock.TraceKnock
		case "no knock":
			one.Kind = knock.NoKnock
		case "best torque":
			one.Kind = knock.BestTorque
		default:
			r.fail(at+".what", "is %q, valid is \"trace knock\", \"no knock\" or \"best torque\"", o.What)
		}
		j.Observed = append(j.Observed, one)
	}
}

// fuelOf reads the two octane numbers.
func fuelOf(r *validator, list []Octane) knock.Fuel {
	var fuel knock.Fuel
	for _, o := range list {
		switch {
		case o.Motor && fuel.MON == 0:
			fuel.MON = o.Number
		case !o.Motor && fuel.RON == 0:
			fuel.RON = o.Number
		}
	}
	if len(list) != 2 || fuel.RON == 0 || fuel.MON == 0 {
		r.fail("engine.fuel", "needs a research and a motor octane number, such as [\"95 RON\", \"85 MON\"]")
	} else if fuel.MON > fuel.RON {
		r.fail("engine.fuel", "has a motor octane number of %g above the research octane number of %g", fuel.MON, fuel.RON)
	}
	return fuel
}

func (j *Job) readReadings(r *validator, f *File, open func(string) ([]byte, error)) {
	j.Settings = settingsOf(r, &f.Light)
	if f.Static != nil {
		j.Settings.KnownStatic = &readings.Known{
			Value: r.degrees("static_reading", *f.Static, -30, 60), Sigma: j.Settings.SigmaDegrees,
		}
	}
	switch list, csv := r.given("readings"), r.given("readings_csv"); {
	case list == csv:
		r.fail("readings", "needs one of readings and readings_csv, and not both")
	case list:
		j.Readings = readingsOf(r, f.Readings, "readings")
	case open == nil:
		r.fail("readings_csv", "cannot be opened here; write the readings into the job")
	default:
		text, err := open(f.ReadingsCSV)
		r.wrap("readings_csv", err)
		if err != nil {
			return
		}
		rows, err := readings.ReadCSV(bytes.NewReader(text))
		r.wrap("readings_csv", err)
		if err == nil {
			j.Readings = readingsOf(r, ofTable(r, rows), csvPath)
		}
	}
}

func (j *Job) readTarget(r *validator, t *Target) {
	j.Wish = Wish{
		Total: r.degreesOr("target.total", t.Total, 0, 10, 60),
		AllIn: recipes.Window{Low: 2200, High: 2800}, AboveIdle: 100, KnockMargin: 3,
		Static: recipes.Span{Low: 4, High: 16, Step: 0.5},
		Keep:   r.whole("target.recipes", t.Keep, 3, 1, 20),
		Travel: 4, Snap: t.Snap,
	}
	if r.given("target.all_in") {
		if len(t.AllIn) != 2 {
			r.fail("target.all_in", "has %d speeds, valid is two, [from, to]", len(t.AllIn))
			return
		}
		j.Wish.AllIn.Low = r.rpm("target.all_in[0]", t.AllIn[0], 800, 6000)
		j.Wish.AllIn.High = r.rpm("target.all_in[1]", t.AllIn[1], 800, 6000)
		if r.err == nil && !(j.Wish.AllIn.High > j.Wish.AllIn.Low) {
			r.fail("target.all_in", "runs from %s to %s, valid is from a lower to a higher speed", t.AllIn[0], t.AllIn[1])
		}
	}
	if t.AtIdle {
		if t.AboveIdle != nil {
			r.fail("target.start_above_idle", "contradicts advance_at_idle_accepted; give one of the two")
		}
		j.Wish.AboveIdle = -1
	} else if t.AboveIdle != nil {
		j.Wish.AboveIdle = r.rpm("target.start_above_idle", *t.AboveIdle, 0, 1500)
	}
	if t.KnockMargin != nil {
		j.Wish.KnockMargin = r.degrees("target.knock_margin", *t.KnockMargin, 0, 20)
	}
	if t.Travel != nil {
		j.Wish.Travel = r.degrees("target.smallest_travel", *t.Travel, 1, 40)
	}
	if r.given("target.static_range") {
		if len(t.Static) != 2 {
			r.fail("target.static_range", "has %d angles, valid is two, [least, most]", len(t.Static))
			return
		}
		j.Wish.Static.Low = r.degrees("target.static_range[0]", t.Static[0], -10, 30)
		j.Wish.Static.High = r.degrees("target.static_range[1]", t.Static[1], -10, 30)
		if r.err == nil && !(j.Wish.Static.High >= j.Wish.Static.Low) {
			r.fail("target.static_range", "runs from %s to %s, valid is from less to more", t.Static[0], t.Static[1])
		}
	}
}

func (j *Job) readVacuum(r *validator, v *Vacuum) {
	if v == nil {
		return
	}
	plate := betweenOr(r, "vacuum.plate", v.Plate, 0, mm(0), mm(150))
	diaphragm := between(r, "vacuum.diaphragm", v.Diaphragm, mm(10), mm(150))
	area, err := vacuum.FlatArea(diaphragm, plate)
	r.wrap("vacuum.plate", err)
	j.Vacuum = &VacuumUnit{
		Unit: vacuum.Unit{
			Area:      area,
			Rate:      between(r, "vacuum.rate", v.Rate, 10, 1e6),
			Preload:   between(r, "vacuum.preload", v.Preload, 0, 500),
			Travel:    between(r, "vacuum.travel", v.Travel, mm(0.2), mm(40)),
			ArmRadius: between(r, "vacuum.arm", v.Arm, mm(5), mm(100)),
			Friction:  betweenOr(r, "vacuum.friction", v.Friction, 0, 0, 50),
		},
		AtIdle:   between(r, "vacuum.idle_vacuum", v.AtIdle, 0, 95e3),
		AtCruise: between(r, "vacuum.cruise_vacuum", v.AtCruise, 0, 95e3),
		Cruise:   r.rpm("vacuum.cruise_speed", v.Cruise, 800, 6000),
	}
	if v.Wanted != nil {
		j.Vacuum.Wanted = r.degrees("vacuum.cruise_total", *v.Wanted, 20, 65)
	}
	if r.err == nil {
		r.wrap("vacuum", j.Vacuum.Unit.Check())
	}
	if r.err != nil {
		return
	}
	if onset := j.Vacuum.Unit.Onset(); !(onset < fullVacuum) {
		r.fail("vacuum.preload", "holds the rod until %.0f kPa, more than any vacuum: the unit never moves", onset/1e3)
	}
	if left := j.Condition.Ambient - j.Vacuum.AtCruise; !(left >= thinnest) {
		r.fail("vacuum.cruise_vacuum", "leaves %.1f kPa of inlet pressure of the day's %.1f kPa, valid is %.0f kPa or more", left/1e3, j.Condition.Ambient/1e3, thinnest/1e3)
	}
}

// thinnest is the inlet pressure in Pa below which the engine model has nothing
// to say.
const thinnest = 15e3

// checkMechanism puts the fitted parts together: what cannot move, or would
// begin to move only beyond the engine's speed, is a mistake in the file.
func (j *Job) checkMechanism(r *validator, f *File, travel float64) {
	at := 0
	for i, w := range j.Drawer.Weights {
		if w.Name == f.Distributor.Weights {
			at = i
		}
	}
	if at < 0 || f.Distributor.Weights == "" {
		r.fail("distributor.weights", "is missing; valid is the name of a set in drawer.weights")
		return
	}
	j.Mechanism.Weights = j.Drawer.Weights[at].Weights
	_, far := j.Mechanism.Linkage.Travel()
	if most, _, _ := j.Mechanism.Linkage.Cam(far); !(travel <= most) {
		r.fail("distributor.slot", "lets the cam turn %.2f deg dist, but the weights turn it by at most %.2f deg dist: check slot and cam_per_swing or cam_pin", travel*180/math.Pi, most*180/math.Pi)
		return
	}
	stop, err := flyweights.Swing(j.Mechanism.Linkage, travel)
	if err != nil {
		r.wrap("distributor.slot", err)
		return
	}
	j.Mechanism.Stop = stop
	j.checkPlaces(r)
	for i := range j.Drawer.Weights {
		m := j.Mechanism
		m.Weights = j.Drawer.Weights[i].Weights
		if err := m.Check(); err != nil {
			r.wrap(fmt.Sprintf("drawer.weights[%d]", i), err)
		}
	}
	if j.Fitted == nil || r.err != nil {
		return
	}
	curve, err := j.Present()
	if err != nil {
		r.wrap("distributor", err)
		return
	}
	if !j.held() {
		r.fail("distributor.springs", "do not pull at the end of the swing: nothing brings the weights back; check free_length and slack")
	}
	if start := j.Drive.RPM(curve.Start(flyweights.Rising)); !(start < j.Top) {
		r.fail("distributor.springs", "would hold the weights until %.0f rpm crank, above engine.top of %.0f rpm crank: they never let go", start, j.Top)
	}
}

// checkPlaces refuses a pair of posts that do not part as the weight opens: no
// spring between them could hold it.
func (j *Job) checkPlaces(r *validator) {
	m := j.Mechanism
	for i, p := range j.Places {
		// Any spring under tension tells: the sign of its moment is the geometry's.
		m.Springs = []flyweights.Spring{{Law: springs.Spring{Rate: 1000, FreeLength: 1e-6}, A: p.Posts[0].A, B: p.Posts[0].B}}
		holds := false
		for _, part := range []float64{0, 0.5, 1} {
			holds = holds || m.SpringMoment(0, part*m.Stop) > 1e-9
		}
		if !holds {
			r.fail(fmt.Sprintf("distributor.spring_places[%d]", i), "a spring there would not be stretched as the weight opens; check the posts and the frame that they are given in")
		}
	}
}

// Present returns the curve of the parts now fitted. It refuses a job that does
// not name the fitted springs.
func (j *Job) Present() (*flyweights.Curve, error) {
	if j.Fitted == nil {
		return nil, fmt.Errorf("%w: distributor.springs does not say what is fitted", ErrJob)
	}
	return j.fitted().Curve(nil)
}

// fitted is the mechanism with the parts that are in it now.
func (j *Job) fitted() *flyweights.Mechanism {
	m := j.Mechanism
	m.Weights = j.Drawer.Weights[j.Fitted.Weights].Weights
	for i, s := range j.Fitted.Springs {
		if s >= 0 {
			post := j.Places[i].Posts[0]
			m.Springs = append(m.Springs, flyweights.Spring{Law: j.Drawer.Springs[s].Spring, A: post.A, B: post.B})
		}
	}
	return &m
}

// held reports whether the springs now fitted pull the weights back from the end
// of their swing.
func (j *Job) held() bool {
	m := j.fitted()
	moment := 0.0
	for i := range m.Springs {
		moment += m.SpringMoment(i, m.Stop)
	}
	return moment > 0
}
