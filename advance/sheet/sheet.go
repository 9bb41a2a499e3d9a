package sheet

import (
	"errors"
	"fmt"
	"math"

	"example.org/bobweight/advance"
)

// ErrRange is wrapped by every error of this package that refuses a value.
var ErrRange = errors.New("sheet: value out of range")

// Step is the distance between the speeds to be checked, in engine rpm.
const Step = 250.0

// Row is what a timing light must show at one engine speed, vacuum hose off and
// plugged.
type Row struct {
	RPM     float64 `json:"rpm"`     // engine rpm
	Rising  float64 `json:"rising"`  // crank degrees, speed reached from below
	Falling float64 `json:"falling"` // crank degrees, speed reached from above
	Low     float64 `json:"low"`     // lowest reading that still passes, crank degrees
	High    float64 `json:"high"`    // highest reading that still passes, crank degrees
}

// BenchRow is the same for a distributor alone on a bench machine, from the rest
// position of its own weights.
type BenchRow struct {
	RPM     float64 `json:"rpm_dist"`    // distributor rpm
	Advance float64 `json:"deg_dist"`    // distributor degrees of mechanical advance, rising
	Falling float64 `json:"falling_deg"` // distributor degrees, falling
}

// Mark is a line to be scribed on the damper rim.
type Mark struct {
	Degrees  float64 `json:"deg"`    // crank degrees before top centre
	Distance float64 `json:"rim_mm"` // mm along the rim from the top-centre mark, against rotation of the crank
}

// Sheet is the finished page.
type Sheet struct {
	Title      string     `json:"title"`
	Static     float64    `json:"static_deg"`         // crank degrees with the weights at rest
	Total      float64    `json:"total_deg"`          // crank degrees all in
	SetRPM     float64    `json:"set_rpm"`            // engine rpm at which to set, or above
	SetDegrees float64    `json:"set_deg"`            // what the light must show there
	SetWindow  float64    `json:"set_window_deg"`     // set within +- this
	Idle       Row        `json:"idle"`               // what idle will show then
	AtIdle     float64    `json:"begun_at_idle"`      // crank degrees of mechanical advance in the idle reading
	Rows       []Row      `json:"check"`              // every Step rpm
	Bench      []BenchRow `json:"bench,omitempty"`    // distributor alone
	Marks      []Mark     `json:"marks,omitempty"`    // damper
	Hose       []string   `json:"hose,omitempty"`     // vacuum hose on: what to expect
	Warnings   []string   `json:"warnings,omitempty"` // what must be cleared up before anything is set
	Prove      []string   `json:"prove,omitempty"`    // how to prove the total against knock before the engine is worked
}

// Input is what [New] needs to write a sheet.
type Input struct {
	Title  string
	Static float64       // crank degrees, weights at rest
	Travel float64       // crank degrees of mechanical advance at the stop, more than 0
	Idle   float64       // engine rpm, more than 0
	AllIn  float64       // engine rpm of the slowest engine in the band that is all in; above idle
	Top    float64       // highest engine rpm to check; above AllIn
	Drive  advance.Drive // distributor to crank, for the bench rows
	Damper float64       // damper diameter in mm; 0 leaves the marks out
	// At returns the total without vacuum at an engine speed, rising and falling,
	// and the window inside which a reading passes, all in crank degrees.
	At   func(rpm float64) (rising, falling, low, high float64, err error)
	Hose []string // sentences about the vacuum hose, in order
	// Warnings are sentences that stand above everything else.
	Warnings []string
	Prove    []string // sentences on proving the total against knock, in order; none where it is sure
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
		{"top speed", in.Top, "rpm crank", "above idle and all-in, at most 15000 rpm crank", in.Top > in.Idle && in.Top > in.AllIn && in.Top <= 15000},
		{"damper diameter", in.Damper, "mm", "0 (no marks) or 50 to 500 mm", in.Damper == 0 || in.Damper >= 50 && in.Damper <= 500},
	} {
		if !f.ok {
			return fmt.Errorf("%w: %s is %.6g %s, valid is %s", ErrRange, f.name, f.v, f.unit, f.want)
		}
	}
	if err := in.Drive.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrRange, err)
	}
	if in.At == nil {
		return fmt.Errorf("%w: no curve was given, valid is a function of engine rpm", ErrRange)
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
		Title: in.Title, Static: Round(in.Static), Total: Round(in.Static + in.Travel),
		SetRPM: settingSpeed(in.AllIn, in.Top), SetDegrees: Round(in.Static + in.Travel),
		SetWindow: 1, Hose: in.Hose, Prove: in.Prove, Warnings: in.Warnings,
	}
	var err error
	if s.Idle, err = in.row(in.Idle); err != nil {
		return nil, err
	}
	s.AtIdle = Round(s.Idle.Rising - s.Static)
	for rpm := math.Ceil(math.Nextafter(in.Idle/Step, math.Inf(1))) * Step; rpm <= in.Top; rpm += Step {
		row, err := in.row(rpm)
		if err != nil {
			return nil, err
		}
		s.Rows = append(s.Rows, row)
		s.Bench = append(s.Bench, BenchRow{
			RPM:     rpm / float64(in.Drive),
			Advance: Round((row.Rising - s.Static) / float64(in.Drive)),
			Falling: Round((row.Falling - s.Static) / float64(in.Drive)),
		})
	}
	if in.Damper > 0 {
		for _, deg := range []float64{10, 20, 30, s.Total} {
			if n := len(s.Marks); n > 0 && s.Marks[n-1].Degrees == deg {
				continue
			}
			s.Marks = append(s.Marks, Mark{Degrees: deg, Distance: Round(RimDistance(in.Damper, deg))})
		}
	}
	return s, nil
}

func (in *Input) row(rpm float64) (Row, error) {
	rising, falling, low, high, err := in.At(rpm)
	if err != nil {
		return Row{}, fmt.Errorf("sheet at %.0f rpm crank: %w", rpm, err)
	}
	for _, v := range []float64{rising, falling, low, high} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Row{}, fmt.Errorf("%w: the curve at %.0f rpm crank is %g deg crank, valid is a finite number", ErrRange, rpm, v)
		}
	}
	return Row{RPM: rpm, Rising: Round(rising), Falling: Round(falling), Low: Round(low), High: Round(high)}, nil
}

// settingSpeed is 3000 rpm where the advance is all in by then (common practice,
// no source), else the next hundred that lies 200 rpm past the all-in speed, and
// never above the top speed.
func settingSpeed(allIn, top float64) float64 {
	speed := math.Max(3000, math.Ceil((allIn+200)/100)*100)
	return math.Min(speed, top)
}

// RimDistance returns the distance along the rim of a damper of the given
// diameter that stands for crank degrees: pi D theta / 360, in the unit of the
// diameter (definition of arc length).
func RimDistance(diameter, degrees float64) float64 { return math.Pi * diameter * degrees / 360 }

// Round rounds to a hundredth, half away from zero, without a negative zero.
func Round(x float64) float64 { return math.Round(x*100)/100 + 0 }
