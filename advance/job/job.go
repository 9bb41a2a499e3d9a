package job

import (
	"example.org/bobweight/advance"
	"example.org/bobweight/advance/job/internal/schema"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/knock"
	"example.org/bobweight/vacuum"
)

// File is a job as it is written, JSON with every quantity as a text with its unit;
// its comments are the reference of the job file. [Read] decodes and checks it.
type File = schema.File

// Job is a job that has been read and understood. Angles are crank degrees,
// speeds engine rpm, everything else is SI. What the file leaves out stays empty,
// and [Job.Run] asks for it. Make one with [Read].
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
	// MarkError is how many crank degrees too many the timing mark shows, as a piston
	// stop tells; the readings are corrected by it.
	MarkError float64

	Readings  []readings.Reading // of the present state
	Settings  readings.Settings
	SetStatic *readings.Known // static timing as set with a lamp; nil if not known

	Engine    knock.Engine
	Condition knock.Condition // full load, of the day; its RPM is open
	Observed  []knock.Observation
	byRatio   bool // the engine asks for the octane that others of its ratio do
	// FuelLow is the fuel that knocks soonest among those that the file allows; nil
	// where it names the fuel exactly.
	FuelLow *knock.Fuel

	Mechanism  flyweights.Mechanism // without springs, with the weights now fitted
	Places     []recipes.Position
	Drawer     recipes.Drawer
	Fitted     *recipes.Choice // nil when the parts now fitted are not all named and described
	Slot       flyweights.Slot
	SlotTravel float64 // crank degrees that the slot as it is allows

	Rotor  sheet.Rotor // zero where not measured
	Wish   Wish
	Vacuum *VacuumUnit // nil for none

	// Answered, where set, is handed the report by [Job.Run] as soon as its answer, its
	// curves and the sheet of the first recipe stand. The next reading, the recipes after
	// the first and what decided follow, and the answer stays as it is. Where nothing can
	// be set it is not called. It may read the report until it returns.
	Answered func(*Report)

	runs []run // in order of time
	// shares and draws are parts known by what the runs teach of them, in place of a
	// mechanism.
	shares *recipes.Shares
	draws  []recipes.Shares
	newest int // the present one of them
	// listedSprings are the drawer's as listed, where the drawer holds them as list and
	// readings say together; nil where it holds the list.
	listedSprings []recipes.SpringPart
	// placesDiffer is set where the springs' places are not alike, so that a spring is
	// learned at each place by itself.
	placesDiffer bool
	// onMachine says that the present state was read on a distributor machine, whose zero
	// is its own: travel and speeds are known, static timing and total are not.
	onMachine bool
	has       has
	measured  []string // what lengths under load, or the wire, tell of springs
	remarks   []string // beside readings, in the builder's words
	missing   []string // fields that a stage needs and the file leaves out
	lines     strict.Lines
	file      File // as decoded, for the names that the report asks for
}

// has tells which sections of the file are whole.
type has struct {
	idle, readings, slot, slotRadius, slotPin, mechanism, engine, unit, hose bool
	total, allIn, from, static, margin                                       bool // given, not a default
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
	// Pumped is what readings with a hand pump show, nil where the unit is given by its
	// parts; ArmKnown then tells whether degrees can be given as travel of the rod.
	Pumped   *vacuum.Identification
	ArmKnown bool
	noArm    bool // travel of the rod was read, and no arm turns it into degrees
}

// Read reads a job file and checks what it means. Readings in a file of their
// own are fetched with open, by the name that the job gives; nil refuses such
// jobs. A file may leave out whatever it likes, but what it says must make sense:
// every fault is a line of the error, which wraps [ErrJob] and names line and field.
func Read(data []byte, open func(name string) ([]byte, error)) (*Job, error) {
	j := &Job{}
	lines, err := strict.Decode(data, &j.file)
	syntax := mistakes(err)
	if lines == nil || len(syntax) >= otherKind {
		return nil, decodeFaults{err}
	}
	f := &j.file
	r := newValidator(f, lines, syntax)
	j.Title, j.Drive = f.Title, r.drive
	if r.given("title") {
		r.text("title", f.Title, 80)
	} else {
		r.lack("title")
		j.Title = "Job without a title"
	}
	j.readEngine(r, &f.Engine)
	base := f.Distributor
	j.adopt(r, f)
	j.readReadings(r, f, open)
	l := j.readDistributor(r, &f.Distributor)
	j.readSlot(r, &f.Distributor.Slot)
	j.readRotor(r, f.Distributor.Rotor)
	j.readDrawer(r, &f.Drawer, l)
	j.readFitted(r, &f.Distributor)
	j.readTarget(r, &f.Target)
	j.readRuns(r, f, &base, open)
	j.readVacuum(r, f.Vacuum)
	if r.sound("distributor", "target.smallest_travel") && j.has.slot && !(j.SlotTravel >= j.Wish.Travel) {
		r.fail("distributor.slot", "lets the cam travel %.2f deg crank, less than the smallest_travel of %.2f deg crank that is worth keeping", j.SlotTravel, j.Wish.Travel)
	}
	if r.sound("distributor", "drawer", "engine.top") && j.mechanismGiven(r) {
		j.checkMechanism(r, j.Drive.ShaftRadians(j.SlotTravel))
	}
	j.note(r)
	j.missing, j.lines, j.remarks = r.missing, lines, append(j.remarks, r.notes...)
	j.measured = r.measured
	if err := r.err(); err != nil {
		return nil, err
	}
	return j, nil
}

// mechanismGiven reports whether the file describes a mechanism that can be put
// together.
func (j *Job) mechanismGiven(r *validator) bool {
	for _, name := range []string{"pivot_radius", "cam_per_swing", "cam_pin", "cam_table", "cam_turns", "slide_out", "slide_cam", "spring_places"} {
		if r.lacks("distributor." + name) {
			return false
		}
	}
	return j.has.slot && len(j.Places) > 0 && len(j.Drawer.Weights) > 0
}

// note keeps which of the figures with a default were given.
func (j *Job) note(r *validator) {
	j.has.idle = r.given("engine.idle")
	j.has.total, j.has.allIn = r.given("target.total"), r.given("target.all_in")
	j.has.from, j.has.static = r.given("engine.full_load_from"), r.given("target.static_range")
	j.has.margin = r.given("target.knock_margin")
}
