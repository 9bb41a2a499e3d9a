package job

import (
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/advance/sheet"
)

// Report is the answer to a job; result.json holds it. Angles are crank degrees
// before top centre and speeds engine rpm unless a name says otherwise; numbers
// are rounded once, when the report is made, to a hundredth of the unit in their
// name, so that every print of them agrees. A part that the job gives no answer to
// is left out, and Stages says what it would take.
type Report struct {
	Title    string         `json:"title"`
	Version  string         `json:"version,omitempty"`          // of the program that made it, where the build tells
	Units    string         `json:"units"`                      // a sentence
	Answer   Answer         `json:"answer"`                     // what to do, on one screen
	Readings *ReadingsPart  `json:"readings,omitempty"`         // what the readings say
	Measured []string       `json:"measured_springs,omitempty"` // what lengths under load, or the wire, tell of springs
	Notes    []string       `json:"reading_notes,omitempty"`    // what was noted beside a reading
	Findings []Finding      `json:"findings"`                   // and what is wrong
	Runs     *RunsPart      `json:"runs,omitempty"`             // run by run, and whether the last change did what it should
	Slot     *SlotPart      `json:"slot,omitempty"`             // length against travel
	Parts    *mechanismPart `json:"mechanism,omitempty"`        // the curve of the listed parts
	Engine   *EnginePart    `json:"engine,omitempty"`           // what the engine wants and tolerates
	Efforts  []effortRow    `json:"efforts,omitempty"`          // what each effort buys, least first
	Recipes  []RecipePart   `json:"recipes"`                    // best first; empty where nothing fits
	NoFit    *NoFit         `json:"no_fit,omitempty"`
	AsRead   string         `json:"as_read,omitempty"`  // with which springs the search reckoned, where readings contradict the list
	Unproven string         `json:"unproven,omitempty"` // warning where recipes keep only to a limit less strict than the best estimate
	Searched float64        `json:"searched"`           // combinations that were compared
	Change   *ChangePart    `json:"change,omitempty"`   // what clamp and slot alone do
	Vacuum   *VacuumPart    `json:"vacuum,omitempty"`
	Sheet    *sheet.Sheet   `json:"sheet,omitempty"` // for what the answer says to fit
	Decided  []decidedRow   `json:"decided"`         // defaults and guesses that the answer rests on
	Stages   []StagePart    `json:"stages"`          // every question, answered or not
	Curves   []CurveRow     `json:"curves"`
	Cautions []string       `json:"cautions"`
}

// Answer is what a builder does next. A field without a word is not answered.
type Answer struct {
	Fit     []string `json:"fit"`                  // which parts, slot or bush, or that nothing but the clamp moves
	Set     string   `json:"set"`                  // degrees at which speed, hose off
	Check   []string `json:"check"`                // idle and three speeds
	Gains   string   `json:"gains,omitempty"`      // against the present state
	Unsure  string   `json:"least_sure,omitempty"` // what is least sure
	Forbids string   `json:"forbids,omitempty"`    // what stands against it
}

// StagePart is one question of the job.
type StagePart struct {
	Stage    string    `json:"stage"`
	Answered bool      `json:"answered"`
	Missing  []Missing `json:"missing,omitempty"` // what is missing for a whole answer
	Buys     string    `json:"buys,omitempty"`    // what it would tell
}

// Missing is a field, or a section, that a question needs.
type Missing struct {
	Field string `json:"field"`          // where it belongs in the file
	Name  string `json:"name,omitempty"` // of the part that it describes
	How   string `json:"how"`            // how a workshop gets it
}

// decidedRow is a default or a guess that the answer rests on.
type decidedRow struct {
	Field string `json:"field"` // that would say it
	Taken string `json:"taken"` // what was taken instead
	Turns string `json:"turns"` // what another value would change
}

// effortRow is the best that one effort gives: the clamp only, springs, slot, both, or
// everything.
type effortRow struct {
	Effort string   `json:"effort"`
	Keeps  bool     `json:"keeps_limits"`
	First  bool     `json:"first"` // the one to build
	Recipe string   `json:"recipe"`
	Gain   string   `json:"gain"`         // over the best of less effort
	Sure   float64  `json:"sure_pct"`     // that a build keeps the limits and stays free of knock
	Or     []string `json:"or,omitempty"` // other parts to the same curve
	Breaks []string `json:"breaks,omitempty"`
}

// RunsPart is the runs side by side, and the newest held against what it should be.
type RunsPart struct {
	Runs    []runRow   `json:"runs"`
	Changed []string   `json:"changed,omitempty"`      // between the newest run and the one before
	Against string     `json:"held_against,omitempty"` // where the windows come from
	Check   []checkRow `json:"check,omitempty"`        // every reading of the newest run
	Passed  *bool      `json:"passed,omitempty"`
	Verdict string     `json:"verdict,omitempty"`
	Do      []string   `json:"do,omitempty"`      // what to do about it
	Learned []string   `json:"learned,omitempty"` // what the runs teach of the parts
	HoseOn  []hoseRow  `json:"hose_on,omitempty"` // readings of earlier runs
}

// runRow is one run by itself.
type runRow struct {
	Label   string   `json:"label"`
	Parts   string   `json:"parts"`
	Machine bool     `json:"machine,omitempty"` // static timing and total are of the machine's own zero
	Static  Estimate `json:"static_deg"`
	Start   Estimate `json:"start_rpm"`
	AllIn   Estimate `json:"all_in_rpm"`
	Travel  Estimate `json:"travel_deg"`
	Total   Estimate `json:"total_deg"`
}

// checkRow is one reading against its window.
type checkRow struct {
	RPM     float64 `json:"rpm"`
	Degrees float64 `json:"deg"`
	Low     float64 `json:"low_deg"`
	High    float64 `json:"high_deg"`
	Passes  bool    `json:"passes"`
}

// SlotPart says what the slot's length means in degrees.
type SlotPart struct {
	Travel    float64   `json:"travel_deg,omitempty"` // as it is
	PerDegree float64   `json:"mm_per_deg"`           // of crank advance
	Rows      []slotRow `json:"rows,omitempty"`
}

// slotRow is one travel and the slot that gives it.
type slotRow struct {
	Travel  float64 `json:"travel_deg"`
	Length  float64 `json:"slot_length_mm"`
	Closing float64 `json:"slot_closing_mm"` // 0 where the length as it is was not measured
	Bush    float64 `json:"bush_mm"`         // diameter over the pin that does the same
}

// mechanismPart is the curve of the listed parts, static timing left out.
type mechanismPart struct {
	Start  float64    `json:"start_rpm"`
	AllIn  float64    `json:"all_in_rpm"`
	Return float64    `json:"return_rpm"`
	Travel float64    `json:"travel_deg"`
	Rows   []CurveRow `json:"rows"` // mechanical advance, rising and falling
}

// ChangePart says what turning the distributor and closing or filing the slot do to
// the present curve, parts untouched.
type ChangePart struct {
	Static      float64  `json:"static_deg"`
	Total       float64  `json:"total_deg"`
	TotalOf     string   `json:"total_of"`       // where the total comes from
	Turn        float64  `json:"turn_deg"`       // advance positive
	Remove      float64  `json:"travel_off_deg"` // negative: to be added
	SlotClosing *float64 `json:"slot_closing_mm,omitempty"`
	SlotLength  *float64 `json:"slot_length_mm,omitempty"`
	ClampOnly   bool     `json:"clamp_only"`
	AllIn       float64  `json:"all_in_rpm"` // afterwards
	Margin      *float64 `json:"knock_margin_deg,omitempty"`
	MarginRPM   *float64 `json:"knock_margin_at_rpm,omitempty"`
	Notes       []string `json:"notes,omitempty"`
}

// ReadingsPart is the present curve as the readings show it.
type ReadingsPart struct {
	Model    string       `json:"model"`
	Static   Estimate     `json:"static_deg"`
	Start    Estimate     `json:"start_rpm"`
	AllIn    Estimate     `json:"all_in_rpm"`
	Travel   Estimate     `json:"travel_deg"`
	Total    Estimate     `json:"total_deg"`
	Slopes   []Estimate   `json:"slopes_deg_per_1000rpm"`
	Knees    []Estimate   `json:"knees_rpm"`
	Slot     float64      `json:"slot_travel_deg,omitempty"` // what the slot as measured allows
	SlotUsed bool         `json:"slot_used"`                 // the slot agreed with the readings and was used in the fit
	AtRest   *restReading `json:"static_reading,omitempty"`
	Parts    *partsRow    `json:"fitted_parts,omitempty"` // the listed parts against the readings
	Criteria []modelRow   `json:"criteria"`               // models compared, the most probable chosen
	Points   []ReadPoint  `json:"points"`
	HoseOn   []hoseRow    `json:"hose_on,omitempty"`      // what the vacuum unit added
	HoseAdds string       `json:"hose_adds,omitempty"`    // what the hose adds where no vacuum was noted
	Next     string       `json:"next_reading,omitempty"` // which further reading would help most
	Open     []string     `json:"left_open,omitempty"`    // what the readings do not settle
	Machine  bool         `json:"machine,omitempty"`      // read on a machine with a zero of its own: static timing and total are not known
	// Cylinders is how far each cylinder that was noted stands ahead of the curve in the
	// mean, crank degrees.
	Cylinders map[int]float64 `json:"cylinders_ahead_deg,omitempty"`
}

// restReading is the timing that was read with the weights at home.
type restReading struct {
	Degrees float64 `json:"deg"`
	Used    bool    `json:"used"` // in the fit
	Note    string  `json:"note"` // what became of it
}

// Estimate is a figure with its 95 % interval; bound tells which ends hold.
type Estimate struct {
	Value float64  `json:"value"`
	Low   *float64 `json:"low,omitempty"`  // left out where that side is not known
	High  *float64 `json:"high,omitempty"` // likewise
	Bound string   `json:"bound"`          // "interval", "at most", "at least" or "unknown"
	Text  string   `json:"text"`           // the figure with its interval and unit, rounded once
}

// modelRow is a model that was compared.
type modelRow struct {
	Model       string  `json:"model"`
	Probability float64 `json:"probability"` // that the readings leave it
	Chosen      bool    `json:"chosen"`
}

// ReadPoint is one reading with what the fit makes of it.
type ReadPoint struct {
	RPM      float64 `json:"rpm"`
	Degrees  float64 `json:"deg"`
	Residual float64 `json:"residual_deg"`
	Outlier  bool    `json:"outlier,omitempty"`
	Hose     bool    `json:"hose_on,omitempty"`
}

// hoseRow is a reading with the hose on, less the mechanical curve.
type hoseRow struct {
	RPM       float64  `json:"rpm"`
	Vacuum    float64  `json:"inHg"`
	Degrees   float64  `json:"deg"`
	Added     float64  `json:"added_deg"`
	AddedLow  float64  `json:"added_low_deg"` // 95 %
	AddedHigh float64  `json:"added_high_deg"`
	UnitLow   *float64 `json:"unit_low_deg,omitempty"` // by its own figures; left out where they are not known
	UnitHigh  *float64 `json:"unit_high_deg,omitempty"`
	Differs   bool     `json:"differs,omitempty"`
}

// partsRow says what the listed parts should do.
type partsRow struct {
	Start  float64 `json:"start_rpm"`
	AllIn  float64 `json:"all_in_rpm"`
	Off    float64 `json:"off_sigmas"` // root mean square difference to the readings in their standard errors, static timing matched
	Agrees bool    `json:"agrees"`
}

// Finding is something worth knowing about the present state, worst first.
type Finding struct {
	Code     string  `json:"code"`
	Severity string  `json:"severity"`
	Text     string  `json:"text"`
	Size     float64 `json:"size"`
	Unit     string  `json:"unit"`
	Evidence string  `json:"evidence"`
}

// EnginePart is what the engine wants and tolerates at full load.
type EnginePart struct {
	Calibrated bool      `json:"calibrated"` // by at least one observation
	Fuel       string    `json:"fuel"`
	Doubt      string    `json:"doubt,omitempty"`         // where the engine lies outside what the model was fitted on
	Refused    bool      `json:"limit_refused,omitempty"` // no best estimate of the limit is to be used, only its band
	Margin     float64   `json:"knock_margin_deg"`
	Want       []WantRow `json:"want"`
}

// WantRow is one speed; bands hold 90 %.
type WantRow struct {
	RPM       float64 `json:"rpm"`
	MBT       float64 `json:"mbt_deg"`
	MBTLow    float64 `json:"mbt_low_deg"`
	MBTHigh   float64 `json:"mbt_high_deg"`
	FlatLate  float64 `json:"flat_late_deg"`  // 99.5 % of the torque from here
	FlatEarly float64 `json:"flat_early_deg"` // to here
	Limited   bool    `json:"knock_limited"`
	Limit     float64 `json:"limit_deg"` // where not limited: the highest spark looked at
	LimitLow  float64 `json:"limit_low_deg"`
	LimitHigh float64 `json:"limit_high_deg"`
}

// RecipePart is one way to set the distributor up.
type RecipePart struct {
	Rank        int               `json:"rank"`
	Springs     map[string]string `json:"springs"` // place: name
	Weights     string            `json:"weights"`
	Static      float64           `json:"static_deg"`
	Travel      float64           `json:"travel_deg"`
	Total       float64           `json:"total_deg"`
	SlotClosing float64           `json:"slot_closing_mm"`
	SlotLength  float64           `json:"slot_length_mm"` // to be left; 0 where the slot was not measured
	Remove      float64           `json:"travel_off_deg"` // travel to take away at the slot
	Start       float64           `json:"start_rpm"`
	Return      float64           `json:"return_rpm"` // falling, the weights are home
	AllIn       float64           `json:"all_in_rpm"`
	AllInLow    float64           `json:"all_in_low_rpm"` // 95 % of builds
	AllInHigh   float64           `json:"all_in_high_rpm"`
	IdleReading float64           `json:"idle_reading_deg"`
	Judged      bool              `json:"engine_known"`                    // without, nothing is said of torque and knock
	Closeness   float64           `json:"from_wanted_curve_deg,omitempty"` // root mean square, where no engine tells torque
	GivenUp     float64           `json:"torque_given_up_pct"`
	Margin      float64           `json:"knock_margin_deg"` // to the limit's best estimate
	MarginRPM   float64           `json:"knock_margin_at_rpm"`
	Refused     bool              `json:"limit_refused,omitempty"` // the limit is not known: its best estimate is not to be used
	// KnockChance is the chance of trace knock at full load, by the band of the limit.
	KnockChance    float64     `json:"knock_chance_pct"`
	KnockChanceRPM float64     `json:"knock_chance_at_rpm"`
	Changed        int         `json:"parts_changed"`
	Chances        []chanceRow `json:"chances"`
	MostTo         string      `json:"most_sensitive_to,omitempty"`
	Measure        string      `json:"measure_first,omitempty"`
	Events         []eventRow  `json:"events"`
	Band           []bandRow   `json:"band"`
	// Sheet is the setting sheet of a recipe after the first, whose sheet is the
	// report's own.
	Sheet *sheet.Sheet `json:"sheet,omitempty"`
}

// chanceRow is the share of builds with these parts that keeps a limit; the knock
// limit, which is uncertain itself, has a chance of its own.
type chanceRow struct {
	Limit string  `json:"limit"`
	Pct   float64 `json:"pct"`
}

// eventRow is something that happens on the way up.
type eventRow struct {
	Kind  string  `json:"kind"`
	RPM   float64 `json:"rpm"`
	Deg   float64 `json:"mechanical_deg"`
	Cause string  `json:"cause"`
}

// bandRow is the total with the window that holds what 95 % of good builds show a
// hand-held light.
type bandRow struct {
	RPM    float64 `json:"rpm"`
	Rising float64 `json:"deg"`
	Low    float64 `json:"low_deg"`
	High   float64 `json:"high_deg"`
}

// NoFit says why no recipe keeps all limits.
type NoFit struct {
	Text    string   `json:"text"`
	Reasons []string `json:"reasons"`
	Spring  string   `json:"spring_that_would_fit,omitempty"`
	Knock   string   `json:"knock,omitempty"` // said where it is the knock limit that forbids
	Doubt   string   `json:"doubt,omitempty"` // how sure that limit is
}

// VacuumPart is the advice on the hose.
type VacuumPart struct {
	Onset  float64  `json:"onset_inHg"`
	Full   float64  `json:"full_inHg"`
	Most   float64  `json:"most_deg"` // 0 where no degrees were read
	Source string   `json:"source"`
	Idle   float64  `json:"idle_deg"`   // reading at idle, hose on
	Cruise float64  `json:"cruise_deg"` // reading at cruise, hose on
	Advice []string `json:"advice"`
	Do     []string `json:"do"` // of it what the sheet tells to set and check
	// Idling and Snapped are left out without an engine.
	Idling  *idleRow `json:"idle_hose_on,omitempty"`
	Snapped *snapRow `json:"throttle_snapped_open,omitempty"`
}

// idleRow says whether idle stays put with the hose on.
type idleRow struct {
	Told   bool    `json:"judged"`
	Steady bool    `json:"steady"`
	Gain   float64 `json:"loop_gain"` // torque that a rise of speed adds by the spark, over what holds the speed; from 1 idle runs away
	Why    string  `json:"why"`
}

// snapRow says how the unit answers a throttle that is snapped open at cruise.
type snapRow struct {
	RPM     float64 `json:"rpm"`
	From    float64 `json:"from_inHg"`
	Told    bool    `json:"judged"`
	Filled  float64 `json:"manifold_filled_s"`
	Back    float64 `json:"unit_back_s"`
	Beyond  float64 `json:"beyond_limit_deg"` // by the unit, past the knock limit less the margin
	For     float64 `json:"beyond_limit_s"`
	Firings float64 `json:"beyond_limit_firings"` // of each cylinder
	Why     string  `json:"why,omitempty"`        // not judged
}

// CurveRow is the curves at one speed; curves.csv holds the same columns. What is
// not known there is left out.
type CurveRow struct {
	RPM       float64  `json:"rpm"`
	Present   *float64 `json:"present_deg,omitempty"` // the curve fitted to the readings
	Rising    *float64 `json:"rising_deg,omitempty"`  // the first recipe, speed reached from below
	Falling   *float64 `json:"falling_deg,omitempty"` // and from above
	Low       *float64 `json:"low_deg,omitempty"`     // window inside which a reading passes
	High      *float64 `json:"high_deg,omitempty"`
	MBT       *float64 `json:"mbt_deg,omitempty"`   // best torque
	Limit     *float64 `json:"limit_deg,omitempty"` // trace knock, best estimate, with its 90 % band
	LimitLow  *float64 `json:"limit_low_deg,omitempty"`
	LimitHigh *float64 `json:"limit_high_deg,omitempty"`
}

// estimate rounds what the fit found.
func estimate(e readings.Estimate, decimals int, unit string) Estimate {
	out := Estimate{Value: text.Round(e.Value), Bound: e.Bound.String(), Text: e.Text(decimals, unit)}
	if e.Bound == readings.Interval || e.Bound == readings.AtLeast {
		low := text.Round(e.Low)
		out.Low = &low
	}
	if e.Bound == readings.Interval || e.Bound == readings.AtMost {
		high := text.Round(e.High)
		out.High = &high
	}
	return out
}
