// Package schema is the job file as it is written: the Go types that its JSON is
// decoded into. A program does not fill them in, it hands the file to the package
// above; the comments here are the source of the job file's reference.
package schema

import "example.org/bobweight/advance/quantity"

// File is a job as it is written: JSON with every quantity as a text with its
// unit. Every section may be left out: the report answers what the rest allows and
// says what the missing one would add. The comment of each field is the job file's
// reference; the package above checks what it means.
type File struct {
	Title       string      `json:"title"`        // one line, at most 80 characters
	Engine      Engine      `json:"engine"`       // what turns
	Distributor Distributor `json:"distributor"`  // what stands on the bench
	Light       Light       `json:"light"`        // how good the readings are
	Readings    []Reading   `json:"readings"`     // timing-light readings of the present state, at most 500, hose off
	ReadingsCSV string      `json:"readings_csv"` // or a CSV file beside the job, with the columns speed, advance and, if wanted, vacuum, falling or sweep, cylinder, note; not both
	// Runs are several runs of readings in order of time, in place of readings: the newest,
	// which stands last, is the present state.
	Runs []Run `json:"runs"`
	// Static is the timing with the weights at home, read while the starter turns the
	// engine or with the engine at rest and a test lamp; leave out if not taken.
	Static *quantity.Angle `json:"static_reading"`
	// SetStatic is the static timing to which the distributor was set with a lamp, to be
	// held against the readings; leave out if it was not.
	SetStatic *quantity.Angle `json:"set_static"`
	Target    Target          `json:"target"` // what is wanted
	Drawer    Drawer          `json:"drawer"` // parts at hand, with the ones now fitted
	Vacuum    *Vacuum         `json:"vacuum"` // the vacuum unit; leave out if none
}

// Engine describes the engine. Idle and top serve every job; what the engine wants
// and tolerates needs cylinders, bore, stroke, compression ratio and fuel.
type Engine struct {
	Cylinders   int                  `json:"cylinders"`         // 1 to 16
	Bore        quantity.Length      `json:"bore"`              // 30 to 200 mm
	Stroke      quantity.Length      `json:"stroke"`            // 30 to 200 mm
	Rod         quantity.Length      `json:"rod"`               // centre to centre; default 1.75 strokes
	Compression quantity.Ratio       `json:"compression_ratio"` // "8.8:1"; 5 to 14
	Fuel        []Octane             `json:"fuel"`              // ["95 RON", "85 MON"], or ["91 (R+M)/2"] as a pump shows it
	Idle        quantity.Speed       `json:"idle"`              // warm idle, 300 to 2000 rpm crank; taken as 800 where it is left out
	Top         quantity.Speed       `json:"top"`               // highest speed in use, 1200 to 9000 rpm crank, a governor's where there is one; default 4500 rpm crank
	From        quantity.Speed       `json:"full_load_from"`    // lowest speed at which it is given full throttle; default 1000 rpm crank
	Altitude    quantity.Length      `json:"altitude"`          // above sea level; default 0 m
	Inlet       quantity.Temperature `json:"inlet_temperature"` // air at the carburettor; default 30 degC
	Stops       []quantity.Angle     `json:"piston_stop"`       // marks under the pointer where a piston stop holds the crank, [before, after] top centre; their half difference is the error of the mark
	Damper      quantity.Length      `json:"damper_diameter"`   // rim with the timing marks; leave out for no marks
	Observed    []Observed           `json:"observed"`          // observations at full load; they calibrate the limit
}

// Observed is one observation at full load. What it was: "trace knock"; "no knock", heard to
// be free of it at a timing chosen without listening; "backed off", free of it after
// retarding from knock; "best torque"; "maker's curve", the maker's total there; or, without
// more, "octane by ratio", that the engine asks for what others of its ratio and age do.
type Observed struct {
	What  string         `json:"what"`
	At    quantity.Speed `json:"at"`            // engine speed
	Spark quantity.Angle `json:"spark"`         // total advance there
	By    quantity.Angle `json:"backed_off_by"` // how far it was retarded from knock, where somebody counted
	Fuel  []Octane       `json:"fuel"`          // of the maker's curve: the fuel that it was made for
}

// Distributor describes the mechanism. Points are [x, y] in a frame of their own
// weight: origin on the shaft's axis, x through that weight's pivot (or along the way
// of a weight that slides), y to its left, everything at rest. They are seen from the side on which an opening weight
// turns counter-clockwise, unless "opens" says clockwise.
type Distributor struct {
	Drive   string            `json:"drive"`         // "four-stroke" (default) or "crank-speed"
	Pivot   quantity.Length   `json:"pivot_radius"`  // shaft axis to weight pivot
	Count   int               `json:"weights_count"` // equal weights round the shaft; default 2
	Weights string            `json:"weights"`       // name of the weights now fitted
	Springs []string          `json:"springs"`       // names of the springs now fitted, one per place, "none" for an empty place
	Cam     quantity.Ratio    `json:"cam_per_swing"` // cam turn per weight swing, "0.8:1"
	Pin     []quantity.Length `json:"cam_pin"`       // or [x, y] of a pin on weight 1, at rest, in a radial slot of the cam
	// Table is, in place of either, pairs of degree wheels, [[swing, cam], ...], 2 to 50,
	// rising: the turn of the weight about its pivot and of the cam against the plate, both
	// from rest and both in "deg dist"; for cams and rollers of any profile.
	Table [][]quantity.Angle `json:"cam_table"`
	// SlideOut and SlideCam are, for weights that slide on the plate in place of swinging,
	// the way of a weight along x from rest and the cam's turn against the plate there, 2 to
	// 50 of each, rising; for pins, rollers and cams of any profile. There is no pivot then.
	SlideOut []quantity.Length `json:"slide_out"`
	SlideCam []quantity.Angle  `json:"slide_cam"`
	Turns    string            `json:"cam_turns"`     // with cam_post, unless cam_pin says it: sense in which the opening weights turn the cam against the plate, as the points are seen, "counter-clockwise" or "clockwise"
	Opens    string            `json:"opens"`         // sense in which an opening weight turns as the points are seen: "counter-clockwise" (default) or "clockwise"
	Places   []Place           `json:"spring_places"` // one or two per weight
	// Differ is set where the springs' places are not alike, as where one post was bent: what
	// runs teach of a spring then holds for its place alone.
	Differ   bool            `json:"places_differ"`
	Slot     Slot            `json:"slot"`     // what limits the travel
	Rotor    *Rotor          `json:"rotor"`    // for the sheet: how far vacuum advance may move the rotor
	Drag     quantity.Moment `json:"cam_drag"` // rubbing block and rotor on the cam; default 0
	Friction quantity.Moment `json:"friction"` // of the whole mechanism, at the swing; default 0
}

// Rotor is the rotor's tip and the terminals of the cap: they say how far vacuum
// advance may move the rotor before it leaves a terminal.
type Rotor struct {
	Radius   quantity.Length `json:"radius"`   // shaft's axis to the tip
	Tip      quantity.Length `json:"tip"`      // width of the tip along its circle
	Terminal quantity.Length `json:"terminal"` // width of a terminal along the circle
}

// Place is a pair of posts between which a spring can hang: their points, or the
// three distances that a calliper takes, centre to centre, everything at rest. A
// spring hangs between two of plate, weight, cam and another weight.
type Place struct {
	Name       string            `json:"name"`                 // unique
	Weight     int               `json:"weight"`               // which weight, from 1
	Plate      []quantity.Length `json:"plate_post"`           // [x, y] of the post on the plate
	Post       []quantity.Length `json:"weight_post"`          // [x, y] of the post on the weight
	Cam        []quantity.Length `json:"cam_post"`             // [x, y] of a post on the cam, in place of one of the two
	Other      int               `json:"other_weight"`         // with other_weight_post: which weight a shared spring pulls towards this one
	OtherPost  []quantity.Length `json:"other_weight_post"`    // [x, y] of its post there, in the frame of that weight, in place of plate_post
	Apart      quantity.Length   `json:"posts_apart"`          // or: distance between the two posts
	PivotPlate quantity.Length   `json:"pivot_to_plate_post"`  // with posts_apart: from the weight's pivot to the post on the plate
	PivotPost  quantity.Length   `json:"pivot_to_weight_post"` // with posts_apart: from the weight's pivot to the post on the weight
}

// Slot limits the travel of the cam.
type Slot struct {
	Length quantity.Length `json:"length"` // end to end along its centre line
	Pin    quantity.Length `json:"pin"`    // diameter of the pin or bushing in it
	Radius quantity.Length `json:"radius"` // centre line to the shaft's axis
}

// Light says how well the readings were taken, one standard deviation.
type Light struct {
	Angle quantity.Angle `json:"angle_error"` // default 1 deg crank
	Speed quantity.Speed `json:"speed_error"` // default 25 rpm crank
}

// Reading is one look with the timing light.
type Reading struct {
	At      quantity.Speed  `json:"at"`      // speed
	Shows   quantity.Angle  `json:"shows"`   // advance
	Falling bool            `json:"falling"` // true when the speed was reached from above
	Vacuum  quantity.Vacuum `json:"vacuum"`  // with the hose on: vacuum at the unit; leave out for hose off
	// Cylinder is the number of the cylinder whose spark was read, 1 to 16; leave out where
	// all were read at one. With two or more the report tells how far they stand apart.
	Cylinder int    `json:"cylinder"`
	Note     string `json:"note"` // free text, kept in the report
}

// Target is what the builder wants. Every field may be left out.
type Target struct {
	Total       quantity.Angle   `json:"total"`                    // all in, no vacuum; default what the engine wants and tolerates, without an engine 34 deg crank
	AllIn       []quantity.Speed `json:"all_in"`                   // [from, to]; default 2200 to 2800 rpm crank
	AboveIdle   *quantity.Speed  `json:"start_above_idle"`         // start, and return, at least this far above idle; default 100 rpm crank
	AtIdle      bool             `json:"advance_at_idle_accepted"` // the advance may have begun at idle; default false
	KnockMargin *quantity.Angle  `json:"knock_margin"`             // stay this far below the limit's best estimate; default 3 deg crank
	Static      []quantity.Angle `json:"static_range"`             // [least, most] static timing that starts well; default 4 to 16 deg crank
	Keep        int              `json:"recipes"`                  // how many recipes to show, 1 to 20; default 3
	Travel      *quantity.Angle  `json:"smallest_travel"`          // least mechanical travel worth keeping; default 4 deg crank
	Snap        bool             `json:"snapping_accepted"`        // accept a curve that jumps; default false
}

// Drawer is the stock of parts.
type Drawer struct {
	Springs []Spring `json:"springs"`
	Weights []Weight `json:"weights"`
}

// Spring is an extension spring: rate, or the wire that it is wound from.
type Spring struct {
	Name    string             `json:"name"`            // unique, not "none"
	Count   int                `json:"count"`           // how many there are; default as many as are fitted, at least 1
	Rate    quantity.Stiffness `json:"rate"`            // or wire
	Wire    *Wire              `json:"wire"`            // or what it is wound from
	Hung    []Hung             `json:"hung"`            // or its length under loads, 2 to 20; with three or more that begin below the first stretch they tell all three figures
	Free    quantity.Length    `json:"free_length"`     // inside the loops, unloaded
	Initial quantity.Force     `json:"initial_tension"` // force that opens the first coil; default 0
	Slack   quantity.Length    `json:"slack"`           // play of a long loop; default 0
	// Loose is true where the spring is seen to hang loose on its post while the weights are
	// at rest, false where it pulls. Left out, what runs say of it decides.
	Loose      bool           `json:"loose_at_rest"`
	RateWithin quantity.Ratio `json:"rate_within"` // one standard deviation of the rate; default 5 %
}

// Hung is a spring's length under a load: a mass that hangs from it, the force that a
// scale shows, or a known spring that is hooked to its end and pulled with it.
type Hung struct {
	Mass  quantity.Mass  `json:"mass"`  // that hangs from the spring
	Force quantity.Force `json:"force"` // or the force on a scale
	// Against is, in place of either, the name of a spring of the drawer that is hooked to
	// its end, so that both pull alike, and AgainstLength the length of that one then.
	Against       string          `json:"against"`
	AgainstLength quantity.Length `json:"against_length"`
	Length        quantity.Length `json:"length"` // between the hooks, inside the loops
}

// Wire is what a spring is wound from.
type Wire struct {
	Diameter quantity.Length `json:"diameter"`
	Coil     quantity.Length `json:"coil_outside"`  // outside diameter of the coils
	Turns    quantity.Turns  `json:"turns"`         // active, "9 turns"
	Shear    quantity.Stress `json:"shear_modulus"` // default 81.5 GPa, cold drawn steel (EN 10270-1)
}

// Weight is one of a set of equal weights, or a set of unequal ones; its centre of
// mass, at rest, as a point, by two distances (hang the weight from two holes in turn:
// the plumb lines cross there) or from its traced outline.
type Weight struct {
	Name    string              `json:"name"`            // unique
	Mass    quantity.Mass       `json:"mass"`            // of one
	Centre  []quantity.Length   `json:"centre"`          // [x, y] of the centre of mass
	ToPivot quantity.Length     `json:"centre_to_pivot"` // or: from the centre of mass to the weight's pivot
	ToShaft quantity.Length     `json:"centre_to_shaft"` // with centre_to_pivot: from the centre of mass to the shaft's axis
	Outline [][]quantity.Length `json:"outline"`         // or: [[x, y], ...] round the edge of the weight, traced or off a photograph, 3 to 400 points; of an uneven one give the centre too, which is then used
	Each    []Weight            `json:"each"`            // for unequal weights: one entry per weight in order, in place of mass and centre
}

// Vacuum is a diaphragm unit, by its parts or by readings with a hand pump, and the
// vacuum that this engine makes.
type Vacuum struct {
	Diaphragm quantity.Length    `json:"diaphragm"`     // diameter where it is clamped
	Plate     quantity.Length    `json:"plate"`         // diameter of the rigid plate in its middle
	Rate      quantity.Stiffness `json:"rate"`          // of its spring
	Preload   quantity.Force     `json:"preload"`       // of its spring at rest
	Travel    quantity.Length    `json:"travel"`        // of the rod to its limiter
	Arm       quantity.Length    `json:"arm"`           // pin that the rod pulls to the shaft's axis; beside pump it turns travel of the rod into degrees
	Friction  quantity.Force     `json:"friction"`      // at the rod; default 0
	Pump      []PumpReading      `json:"pump"`          // or, in place of all of these: readings with a hand pump, 3 to 100
	AtIdle    quantity.Vacuum    `json:"idle_vacuum"`   // manifold, warm idle
	AtCruise  quantity.Vacuum    `json:"cruise_vacuum"` // manifold, steady cruise
	Cruise    quantity.Speed     `json:"cruise_speed"`  // engine speed there
	Wanted    *quantity.Angle    `json:"cruise_total"`  // total wanted there; default what the engine wants
}

// PumpReading is one reading with a hand pump on the vacuum unit: degrees, or travel of
// the rod, under a vacuum that is held, or the vacuum at which the arm starts or stops moving. The best
// five are where it starts and where it stops, pumped up slowly, each twice, and the
// degrees at a deep vacuum.
type PumpReading struct {
	At      quantity.Vacuum `json:"at"`      // vacuum on the pump's gauge
	Shows   quantity.Angle  `json:"shows"`   // what the unit adds there, from rest
	Rod     quantity.Length `json:"rod"`     // or, in place of shows: how far the rod was drawn in there, from rest; degrees take the vacuum's arm
	Arm     string          `json:"arm"`     // or, in place of both: "starts" or "stops", what the arm just does there
	Falling bool            `json:"falling"` // true when the vacuum was let down to it
}

// Run is what was read with one set of parts, and nothing changed. What a run leaves
// out is as in the run before it, and in the first run as under distributor.
type Run struct {
	Label       string          `json:"label"`          // short, such as "as found"
	Date        string          `json:"date"`           // "2026-05-31"; dates must not fall
	Where       string          `json:"where"`          // "engine" (default) or "machine", a distributor machine with a zero of its own
	Springs     []string        `json:"springs"`        // names of the springs fitted then, one per place, "none" for an empty place
	Weights     string          `json:"weights"`        // name of the weights fitted then
	Slot        quantity.Length `json:"slot_length"`    // length of the slot then
	Bush        quantity.Length `json:"bush"`           // diameter of pin or bush in it then
	Clamp       string          `json:"clamp"`          // "unknown" (default), "unmoved" since the run before, or "moved"
	Moved       quantity.Angle  `json:"clamp_moved_by"` // with "moved": by how much the distributor was turned, advance positive
	Hose        bool            `json:"hose_on"`        // the vacuum hose was on at every reading
	Dwell       quantity.Angle  `json:"dwell"`          // of the contact points then, "30 deg dist"
	Tachometer  string          `json:"tachometer"`     // name of the instrument; default the one of the run before
	Readings    []Reading       `json:"readings"`       // timing-light readings
	ReadingsCSV string          `json:"readings_csv"`   // or a CSV file beside the job
}
