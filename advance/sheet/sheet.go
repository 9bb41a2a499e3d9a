package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("sheet")

// Step is the least distance between the speeds to be checked, in engine rpm.
const Step = 250.0

// mostRows is how many speeds the page has room for.
const mostRows = 11

// Row is what a timing light must show at one engine speed, vacuum hose off and
// plugged.
type Row struct {
	RPM     float64 `json:"rpm"`     // engine rpm
	Rising  float64 `json:"rising"`  // crank degrees, speed reached from below
	Falling float64 `json:"falling"` // crank degrees, speed reached from above
	Low     float64 `json:"low"`     // lowest reading that still passes, crank degrees
	High    float64 `json:"high"`    // highest reading that still passes, crank degrees
}

// benchRow is the same for a distributor alone on a bench machine, from the rest
// position of its own weights.
type benchRow struct {
	RPM     float64 `json:"rpm_dist"`    // distributor rpm
	Advance float64 `json:"deg_dist"`    // distributor degrees of mechanical advance, rising
	Falling float64 `json:"falling_deg"` // distributor degrees, falling
}

// Part is what stands at one place of the distributor.
type Part struct {
	Place   string `json:"place"` // as the job names it: "north", "weights"
	Name    string `json:"name"`  // of the part; "none" for an empty place
	Changed bool   `json:"changed,omitempty"`
}

// Slot is what is done to the slot that limits the travel, in mm.
type Slot struct {
	Length  float64 `json:"length_mm"`         // to be left, along its centre line
	Closing float64 `json:"closing_mm"`        // to close; negative = to file off; 0 = as it is
	Bush    float64 `json:"bush_mm,omitempty"` // diameter on the pin that does the same; 0 = none does
}

// Sheet is the finished page.
type Sheet struct {
	Title      string  `json:"title"`
	Recipe     string  `json:"recipe,omitempty"`  // which recipe this is, one line
	Version    string  `json:"version,omitempty"` // of the program that wrote it
	Parts      []Part  `json:"parts,omitempty"`   // what to fit, place by place
	Slot       *Slot   `json:"slot,omitempty"`    // what to do to the slot
	Static     float64 `json:"static_deg"`        // crank degrees with the weights at rest
	Total      float64 `json:"total_deg"`         // crank degrees all in
	SetRPM     float64 `json:"set_rpm"`           // engine rpm at which to set
	SetDegrees float64 `json:"set_deg"`           // what the light must show there
	SetWindow  float64 `json:"set_window_deg"`    // set within +- this
	StillRises bool    `json:"set_below_all_in"`  // the engine's limit lies below the all-in speed
	DwellShift float64 `json:"dwell_shift_deg"`   // crank degrees earlier for each distributor degree of dwell less
	Idle       Row     `json:"idle"`              // what idle will show then
	AtIdle     float64 `json:"begun_at_idle"`     // crank degrees of mechanical advance in the idle reading
	// StartOpen says that the advance may have begun at idle: what idle shows is then not
	// surely the static timing.
	StartOpen bool       `json:"start_not_certain,omitempty"`
	Rows      []Row      `json:"check"`              // every Step rpm, or a multiple of it
	Bench     []benchRow `json:"bench,omitempty"`    // distributor alone
	Marks     []mark     `json:"marks,omitempty"`    // damper
	Hose      []string   `json:"hose,omitempty"`     // vacuum hose on: what to expect
	Phase     *phase     `json:"rotor,omitempty"`    // how far vacuum advance moves the rotor
	Warnings  []string   `json:"warnings,omitempty"` // what must be cleared up before anything is set
	Verify    []string   `json:"verify,omitempty"`   // how to verify the total under load
}

// Input is what [New] needs to write a sheet.
type Input struct {
	Title  string
	Recipe string        // "1 of 3: springs only"; may be empty
	Parts  []Part        // in the order of printing; may be empty
	Slot   *Slot         // nil leaves the slot out
	Static float64       // crank degrees, weights at rest
	Travel float64       // crank degrees of mechanical advance at the stop, more than 0
	Idle   float64       // engine rpm, more than 0
	AllIn  float64       // engine rpm of the slowest engine in the band that is all in
	Top    float64       // the engine's own limit, engine rpm, above Idle: no speed of the sheet is higher
	Drive  advance.Drive // distributor to crank, for the bench rows
	Damper float64       // damper diameter in mm; 0 leaves the marks out
	// At returns the total without vacuum at an engine speed, rising and falling,
	// and the window inside which a reading passes, all in crank degrees.
	At     func(rpm float64) (rising, falling, low, high float64, err error)
	Hose   []string // sentences about the vacuum hose, in order
	Vacuum float64  // crank degrees that the vacuum unit adds at most; 0 = no unit
	Rotor  Rotor    // tip and terminals; the zero value = not measured
	// StartOpen is true where nothing settles whether the advance has begun at idle.
	StartOpen bool
	// Warnings are sentences that stand above everything else.
	Warnings []string
	Verify   []string // sentences on verifying the total under load, in order; none where it is sure
}

func (in *Input) check() error {
	for _, f := range []struct {
		name       string
		v          float64
		unit, want string
		ok         bool
	}{
		{"static timing", in.Static, "deg crank", "-20 to 60 deg crank", in.Static >= -20 && in.Static <= 60},
		{"mechanical travel", in.Travel, "deg crank", "more than 0, at most 90 deg crank", in.Travel > 0 && in.Travel <= 90},
		{"idle speed", in.Idle, "rpm crank", "100 to 3000 rpm crank", in.Idle >= 100 && in.Idle <= 3000},
		{"all-in speed", in.AllIn, "rpm crank", "above 0, at most 12000 rpm crank", in.AllIn > 0 && in.AllIn <= 12000},
		{"top speed", in.Top, "rpm crank", "above idle, at most 15000 rpm crank", in.Top > in.Idle && in.Top <= 15000},
		{"damper diameter", in.Damper, "mm", "0 (no marks) or 50 to 500 mm", in.Damper == 0 || in.Damper >= 50 && in.Damper <= 500},
		{"vacuum advance", in.Vacuum, "deg crank", "0 to 60 deg crank", in.Vacuum >= 0 && in.Vacuum <= 60},
	} {
		if !f.ok {
			return valid.Refuse(errRange, f.name, f.v, f.unit, f.want)
		}
	}
	if err := in.Drive.Check(); err != nil {
		return fmt.Errorf("%w: %w", errRange, err)
	}
	if in.At == nil {
		return fmt.Errorf("%w: no curve was given, valid is a function of engine rpm", errRange)
	}
	if s := in.Slot; s != nil {
		err := valid.Check(errRange, valid.In("length of the slot", s.Length, "mm", 0, 1000),
			valid.In("closing of the slot", s.Closing, "mm", -1000, 1000), valid.In("bush on the pin", s.Bush, "mm", 0, 1000))
		if err != nil {
			return err
		}
	}
	return in.checkText()
}

// checkText refuses what a page cannot hold: line ends, marks of direction, control
// characters.
func (in *Input) checkText() error {
	texts := slices.Concat([]string{in.Title, in.Recipe}, in.Hose, in.Warnings, in.Verify)
	for _, p := range in.Parts {
		texts = append(texts, p.Place, p.Name)
	}
	for _, text := range texts {
		if strings.ContainsFunc(text, func(c rune) bool { return !unicode.IsGraphic(c) }) {
			return fmt.Errorf("%w: a text of the sheet is %.60q, valid is text that can be printed, on one line", errRange, text)
		}
	}
	return nil
}

// New writes the sheet. Values are rounded once, here, to a hundredth of a
// degree, so that every print of them agrees. It refuses input outside the
// ranges stated at [Input] and passes on errors of the curve.
func New(in Input) (*Sheet, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	s := &Sheet{
		Title: in.Title, Recipe: in.Recipe, Parts: slices.Clone(in.Parts),
		Static: text.Round(in.Static), Total: text.Round(in.Static + in.Travel),
		SetRPM: settingSpeed(in.AllIn, in.Top), SetDegrees: text.Round(in.Static + in.Travel), SetWindow: 1,
		StillRises: in.Top < in.AllIn, StartOpen: in.StartOpen,
		// A symmetric cam opens the points half a degree of dwell earlier for each
		// degree of dwell less, counted at the distributor (geometry of the cam).
		DwellShift: text.Round(float64(in.Drive) / 2),
		Hose:       in.Hose, Verify: in.Verify, Warnings: in.Warnings,
	}
	if in.Slot != nil {
		s.Slot = &Slot{Length: text.Round(in.Slot.Length), Closing: text.Round(in.Slot.Closing), Bush: text.Round(in.Slot.Bush)}
	}
	var err error
	if s.Idle, err = in.row(in.Idle); err != nil {
		return nil, err
	}
	s.AtIdle = text.Round(s.Idle.Rising - s.Static)
	if s.StillRises {
		set, err := in.row(s.SetRPM)
		if err != nil {
			return nil, err
		}
		s.SetDegrees = set.Rising
	}
	if err := s.rows(&in); err != nil {
		return nil, err
	}
	if in.Damper > 0 {
		if s.Marks, err = marks(in.Damper, s.SetDegrees); err != nil {
			return nil, err
		}
	}
	if in.Vacuum > 0 {
		shift, err := rotorPhase(in.Vacuum, in.Drive, in.Rotor)
		if err != nil {
			return nil, err
		}
		s.Phase = &shift
	}
	return s, nil
}

// rows fills in the checks from above idle to one step past the setting speed,
// never past the engine's limit: beyond it nothing of the curve is left to see.
func (s *Sheet) rows(in *Input) error {
	top := math.Min(s.SetRPM+Step, in.Top)
	step := Step
	for math.Floor(top/step)-math.Floor(in.Idle/step) > mostRows {
		step *= 2
	}
	for n := 1 + math.Floor(in.Idle/step); n*step <= top; n++ {
		row, err := in.row(n * step)
		if err != nil {
			return err
		}
		s.Rows = append(s.Rows, row)
		s.Bench = append(s.Bench, benchRow{
			RPM:     row.RPM / float64(in.Drive),
			Advance: text.Round((row.Rising - s.Static) / float64(in.Drive)),
			Falling: text.Round((row.Falling - s.Static) / float64(in.Drive)),
		})
	}
	return nil
}

func (in *Input) row(rpm float64) (Row, error) {
	rising, falling, low, high, err := in.At(rpm)
	if err != nil {
		return Row{}, fmt.Errorf("sheet at %.0f rpm crank: %w", rpm, err)
	}
	for _, v := range []float64{rising, falling, low, high} {
		if !(math.Abs(v) <= 360) {
			return Row{}, fmt.Errorf("%w: the curve at %.0f rpm crank is %.6g deg crank, valid is -360 to 360 deg crank", errRange, rpm, v)
		}
	}
	return Row{RPM: rpm, Rising: text.Round(rising), Falling: text.Round(falling), Low: text.Round(low), High: text.Round(high)}, nil
}

// settingSpeed is 3000 rpm where the advance is all in by then (common practice,
// no source) and the engine may turn a third faster still. Else it is the next
// hundred that lies 200 rpm past the all-in speed, and never above the limit.
func settingSpeed(allIn, top float64) float64 {
	const usual = 3000
	speed := math.Ceil((allIn+200)/100) * 100
	if speed < usual && usual <= 0.75*top {
		speed = usual
	}
	return math.Min(speed, top)
}
