package sheet_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/sheet"
	"github.com/google/go-cmp/cmp"

	"example.org/bobweight/springs/valid"
)

// ramp is a distributor that begins at 600 rpm and is all in at 2600, 10 + 24.
func ramp(rpm float64) (rising, falling, low, high float64, err error) {
	a := 10 + 24*math.Max(0, math.Min(1, (rpm-600)/2000))
	return a, a + 0.5, a - 1.5, a + 1.5, nil
}

func rampInput() sheet.Input {
	return sheet.Input{
		Title: "ramp", Static: 10, Travel: 24, Idle: 800, AllIn: 2600, Top: 4000,
		Drive: advance.FourStroke, Damper: 180, At: ramp,
	}
}

func TestSheetSaysWhatTheCurveSays(t *testing.T) {
	s, err := sheet.New(rampInput())
	if err != nil {
		t.Fatal(err)
	}
	if s.SetRPM != 3000 || s.SetDegrees != 34 {
		t.Errorf("set %g deg at %g rpm, want 34 at 3000", s.SetDegrees, s.SetRPM)
	}
	// 200 rpm past the start of a 24 deg per 2000 rpm ramp: 2.4 deg have begun.
	if s.Idle.Rising != 12.4 || s.AtIdle != 2.4 {
		t.Errorf("idle shows %g with %g begun, want 12.4 and 2.4", s.Idle.Rising, s.AtIdle)
	}
	if len(s.Rows) != 10 || s.Rows[0].RPM != 1000 || s.Rows[9].RPM != 3250 {
		t.Fatalf("rows are %v, want 1000 to 3250 by 250, one past the setting speed", s.Rows)
	}
	for i, r := range s.Rows {
		rising, falling, low, high, _ := ramp(r.RPM)
		want := sheet.Row{RPM: r.RPM, Rising: text.Round(rising), Falling: text.Round(falling), Low: text.Round(low), High: text.Round(high)}
		if r != want {
			t.Errorf("row %v, want %v", r, want)
		}
		// A four-stroke distributor turns half as fast through half the angle.
		b := s.Bench[i]
		if b.RPM != r.RPM/2 || !(math.Abs(b.Advance-(r.Rising-10)/2) <= 0.00501) {
			t.Errorf("bench row %v does not halve %v", b, r)
		}
	}
}

func TestTextPrintsTheSameDigits(t *testing.T) {
	s, err := sheet.New(rampInput())
	if err != nil {
		t.Fatal(err)
	}
	text := s.Text()
	for _, r := range s.Rows {
		want := fmt.Sprintf("\n  %5.0f  %6.1f  %6.1f   %6.1f %7.1f   ", r.RPM, r.Rising, r.Falling, r.Low, r.High)
		if !strings.Contains(text, want) {
			t.Errorf("sheet lacks the row %q", want)
		}
	}
	for _, c := range sheet.Cautions() {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), c) {
			t.Errorf("sheet lacks the caution %q", c)
		}
	}
	for i, l := range strings.Split(text, "\n") {
		if len(l) > 78 {
			t.Errorf("line %d has %d columns: %q", i+1, len(l), l)
		}
	}
}

// A whole turn of a 180 mm damper is its circumference; a degree is 1/360 of it.
func TestRimDistance(t *testing.T) {
	if d, err := sheet.RimDistance(180, 360); err != nil || d != math.Pi*180 {
		t.Errorf("a whole turn is %g mm, want %g, error %v", d, math.Pi*180, err)
	}
}

// The marks, reckoned by hand: the circumference of a 180 mm damper is 565.49 mm,
// a degree of it 1.5708 mm. They ascend, the setting stands among them, and one
// that falls on a ten is not marked twice.
func TestMarks(t *testing.T) {
	for _, c := range []struct {
		travel float64
		want   [][2]float64
	}{
		{24, [][2]float64{{10, 15.71}, {20, 31.42}, {30, 47.12}, {34, 53.41}}},
		{15, [][2]float64{{10, 15.71}, {20, 31.42}, {25, 39.27}, {30, 47.12}}},
		{20, [][2]float64{{10, 15.71}, {20, 31.42}, {30, 47.12}}},
	} {
		in := rampInput()
		in.Travel = c.travel
		s, err := sheet.New(in)
		if err != nil {
			t.Fatal(err)
		}
		var got [][2]float64
		for _, m := range s.Marks {
			got = append(got, [2]float64{m.Degrees, m.Distance})
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("total %g deg:\n%s", 10+c.travel, d)
		}
	}
	s, err := sheet.New(rampInput())
	if err != nil {
		t.Fatal(err)
	}
	if text := strings.Join(strings.Fields(s.Text()), " "); !strings.Contains(text, "ahead of the top-centre mark in the direction of rotation (they pass the pointer first): 10 deg at 15.7 mm (0.62 in)") {
		t.Error("the sheet does not say on which side of the top-centre mark the others go")
	}
}

// A governed engine is never asked for more than its limit: it is set there, to
// what the curve gives there.
func TestLimitOfTheEngine(t *testing.T) {
	in := rampInput()
	in.Idle, in.Top = 500, 1650
	s, err := sheet.New(in)
	if err != nil {
		t.Fatal(err)
	}
	// 1050 rpm past the start of a 24 deg per 2000 rpm ramp: 12.6 deg.
	if s.SetRPM != 1650 || s.SetDegrees != 22.6 || !s.StillRises {
		t.Errorf("set %g deg at %g rpm, want 22.6 at 1650", s.SetDegrees, s.SetRPM)
	}
	for _, r := range s.Rows {
		if r.RPM > 1650 {
			t.Errorf("the sheet asks for %g rpm of an engine that may turn 1650", r.RPM)
		}
	}
	if !strings.Contains(s.Text(), "no faster") {
		t.Error("the sheet does not warn that the advance still rises")
	}
}

// The page for an engine with everything on it fits one side of A4 or Letter at 8 point:
// 88 lines of 78 columns. A wide range of speeds has a wider step.
func TestOneSide(t *testing.T) {
	in := rampInput()
	in.Title, in.Recipe = strings.Repeat("t", 54), "1 of 3, springs and slot"
	in.Parts = []sheet.Part{{"north", "fine", true}, {"south", "own winding", true}, {"weights", "long tail", false}}
	in.Slot = &sheet.Slot{Length: 8.14, Closing: 2.46, Bush: 7.46}
	in.AllIn, in.Top, in.Vacuum = 6000, 9000, 14
	in.Warnings = []string{"UNPROVEN. This engine may knock with this timing: the check under load comes before any work."}
	for _, n := range []int{110, 100, 140, 200, 66, 130} { // as long as the longest that a job writes
		in.Verify = append(in.Verify, strings.Repeat("word ", n/5))
	}
	for _, n := range []int{130, 170, 60, 65, 75, 100} {
		in.Hose = append(in.Hose, strings.Repeat("word ", n/5))
	}
	s, err := sheet.New(in)
	if err != nil {
		t.Fatal(err)
	}
	text := s.Text()
	if n := strings.Count(text, "\n"); n > 88 {
		t.Errorf("the sheet has %d lines, one side holds 88", n)
	}
	if len(s.Rows) > 11 || s.Rows[0].RPM != 1000 || s.Rows[1].RPM != 1500 {
		t.Errorf("rows are %v", s.Rows)
	}
	for _, want := range []string{"Date ____", "Vehicle ____", "tag ____", "found", "left", "north: fine;", "weights: long tail (stays)", "close 2.46 mm, to 8.14 mm (0.320 in); or a bush of 7.46 mm"} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	if dwell, timing := strings.Index(text, "dwell"), strings.Index(text, "Hold 6200 rpm"); !(dwell > 0 && dwell < timing) {
		t.Error("dwell does not stand before timing")
	}
}

// Tip and terminal of 5 mm and 4 mm on a circle of 25 mm overlap while their
// middles are less than 4.5 mm apart, 0.18 rad or 10.31 deg. Crank degrees of
// vacuum are halved at a four-stroke's distributor.
func TestRotorPhase(t *testing.T) {
	rotor := sheet.Rotor{Radius: 25, Tip: 5, Terminal: 4}
	for _, c := range []struct {
		vacuum float64
		rotor  sheet.Rotor
		shift  float64
		facing float64
		leaves bool
	}{
		{12, sheet.Rotor{}, 6, 0, false},
		{12, rotor, 6, 10.31, false},
		{41, rotor, 20.5, 10.31, false},
		{42, rotor, 21, 10.31, true},
	} {
		in := rampInput()
		in.Vacuum, in.Rotor = c.vacuum, c.rotor
		s, err := sheet.New(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Phase; got.Shift != c.shift || got.Facing != c.facing || got.Leaves != c.leaves {
			t.Errorf("%g deg of vacuum: %+v, want %g, %g, %t", c.vacuum, *got, c.shift, c.facing, c.leaves)
		}
	}
	for _, v := range []float64{-1, 61, math.NaN(), math.Inf(1)} {
		in := rampInput()
		in.Vacuum = v
		if _, err := sheet.New(in); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%g deg of vacuum: error is %v", v, err)
		}
	}
	for _, r := range []sheet.Rotor{{Radius: -1, Tip: 5, Terminal: 4}, {Radius: 25, Tip: 26, Terminal: 4}, {Radius: 25, Tip: 5, Terminal: math.NaN()}} {
		in := rampInput()
		in.Vacuum, in.Rotor = 12, r
		if _, err := sheet.New(in); !errors.Is(err, valid.ErrRange) {
			t.Errorf("%+v: error is %v", r, err)
		}
	}
}

// Half a distributor degree is a crank degree on a four-stroke.
func TestDwell(t *testing.T) {
	for drive, want := range map[advance.Drive]float64{advance.FourStroke: 1, advance.CrankSpeed: 0.5} {
		in := rampInput()
		in.Drive = drive
		s, err := sheet.New(in)
		if err != nil {
			t.Fatal(err)
		}
		if s.DwellShift != want {
			t.Errorf("drive %g: a degree of dwell moves %g crank degrees, want %g", float64(drive), s.DwellShift, want)
		}
	}
}

func TestSettingSpeedStaysPastAllIn(t *testing.T) {
	for _, c := range []struct{ allIn, top, want float64 }{
		{2500, 4000, 3000}, {2800, 4000, 3000}, {2850, 4000, 3100}, {3210, 4000, 3500},
		// An engine that does not turn a third faster than 3000 is not sped up to it.
		{2500, 2800, 2700}, {2500, 2600, 2600}, {2500, 3900, 2700}, {1300, 1650, 1500}, {1300, 1400, 1400},
	} {
		in := rampInput()
		in.AllIn, in.Top = c.allIn, c.top
		s, err := sheet.New(in)
		if err != nil {
			t.Fatal(err)
		}
		if s.SetRPM != c.want {
			t.Errorf("all in at %g, top %g: set at %g, want %g", c.allIn, c.top, s.SetRPM, c.want)
		}
	}
}

func TestNewRefuses(t *testing.T) {
	broken := errors.New("curve broke")
	for _, c := range []struct {
		name, want string
		spoil      func(*sheet.Input)
	}{
		{"zero value", "mechanical travel", func(in *sheet.Input) { *in = sheet.Input{} }},
		{"static NaN", "static timing is NaN deg crank", func(in *sheet.Input) { in.Static = math.NaN() }},
		{"no travel", "mechanical travel is 0 deg crank", func(in *sheet.Input) { in.Travel = 0 }},
		{"idle", "idle speed is 50 rpm crank", func(in *sheet.Input) { in.Idle = 50 }},
		{"all-in", "all-in speed is +Inf rpm crank", func(in *sheet.Input) { in.AllIn = math.Inf(1) }},
		{"top at idle", "top speed is 800 rpm crank", func(in *sheet.Input) { in.Top = 800 }},
		{"top NaN", "top speed is NaN rpm crank", func(in *sheet.Input) { in.Top = math.NaN() }},
		{"vacuum", "vacuum advance is -1 deg crank", func(in *sheet.Input) { in.Vacuum = -1 }},
		{"rotor", "rotor radius is 0 mm", func(in *sheet.Input) { in.Vacuum, in.Rotor.Tip = 12, 5 }},
		{"damper", "damper diameter is 5 mm", func(in *sheet.Input) { in.Damper = 5 }},
		{"drive", "drive ratio is 0", func(in *sheet.Input) { in.Drive = 0 }},
		{"slot", "closing of the slot is NaN mm", func(in *sheet.Input) { in.Slot = &sheet.Slot{Closing: math.NaN()} }},
		{"text", `"north\u202e\x1b[2J"`, func(in *sheet.Input) { in.Parts = []sheet.Part{{Name: "north\u202e\x1b[2J"}} }},
		{"curve too high", "the curve at 800 rpm crank is 1e+300", func(in *sheet.Input) {
			in.At = func(float64) (a, b, c, d float64, err error) { return 1, 1e300, 2, 3, nil }
		}},
		{"no curve", "no curve was given", func(in *sheet.Input) { in.At = nil }},
		{"curve NaN", "the curve at 800 rpm crank is NaN", func(in *sheet.Input) {
			in.At = func(float64) (a, b, c, d float64, err error) { return 1, 2, math.NaN(), 3, nil }
		}},
	} {
		in := rampInput()
		c.spoil(&in)
		_, err := sheet.New(in)
		if !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %v, want ErrRange with %q", c.name, err, c.want)
		}
	}
	in := rampInput()
	in.At = func(float64) (a, b, c, d float64, err error) { return 0, 0, 0, 0, broken }
	if _, err := sheet.New(in); !errors.Is(err, broken) {
		t.Errorf("the curve's error got lost: %v", err)
	}
}

func ExampleNew() {
	s, err := sheet.New(sheet.Input{
		Title: "example", Static: 10, Travel: 24, Idle: 800, AllIn: 2600, Top: 4000,
		Drive: advance.FourStroke,
		At: func(rpm float64) (rising, falling, low, high float64, err error) {
			a := 10 + 24*math.Max(0, math.Min(1, (rpm-600)/2000))
			return a, a, a - 1, a + 1, nil
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("set %.1f at %.0f rpm, idle then shows %.1f\n", s.SetDegrees, s.SetRPM, s.Idle.Rising)
	// Output:
	// set 34.0 at 3000 rpm, idle then shows 12.4
}

// What can hurt somebody is said on every sheet.
// The ranges that the refusals name, typed a second time: each end is taken, and one per
// cent beyond it is not.
func TestEndsOfRanges(t *testing.T) {
	for _, c := range []struct {
		name     string
		end, out float64 // the last value taken, and which way is out
		set      func(in *sheet.Input, x float64)
	}{
		{"static timing", 60, 1, func(in *sheet.Input, x float64) { in.Static = x }},
		{"static timing", -20, -1, func(in *sheet.Input, x float64) { in.Static = x }},
		{"mechanical travel", 90, 1, func(in *sheet.Input, x float64) { in.Travel = x }},
		{"idle speed", 100, -1, func(in *sheet.Input, x float64) { in.Idle = x }},
		{"idle speed", 3000, 1, func(in *sheet.Input, x float64) { in.Idle = x }},
		{"all-in speed", 12000, 1, func(in *sheet.Input, x float64) { in.AllIn, in.Top = x, 14000 }},
		{"top speed", 15000, 1, func(in *sheet.Input, x float64) { in.Top = x }},
		{"damper diameter", 50, -1, func(in *sheet.Input, x float64) { in.Damper = x }},
		{"damper diameter", 500, 1, func(in *sheet.Input, x float64) { in.Damper = x }},
		{"vacuum advance", 60, 1, func(in *sheet.Input, x float64) { in.Vacuum = x }},
		{"rotor radius", 100, 1, func(in *sheet.Input, x float64) {
			in.Vacuum, in.Rotor = 12, sheet.Rotor{Radius: x, Tip: 5, Terminal: 4}
		}},
	} {
		in := rampInput()
		c.set(&in, c.end)
		if _, err := sheet.New(in); err != nil {
			t.Errorf("%s of %g: %v", c.name, c.end, err)
		}
		in = rampInput()
		c.set(&in, c.end+c.out*0.01*math.Abs(c.end))
		if _, err := sheet.New(in); !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), c.name) {
			t.Errorf("%s beyond %g: error is %v", c.name, c.end, err)
		}
	}
}

func TestCautionsSayIt(t *testing.T) {
	s, err := sheet.New(rampInput())
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(s.Text()), " ")
	for _, want := range []string{
		"clear of belts and fan", "Exhaust is poison", "Fuel vapour burns", "an engine can burst. Leave the governor in action", "retarded makes the exhaust glow",
		"Hot parts burn", "Do not lug", "a motorcycle on a firm stand", "Battery off before the distributor comes out", "Detonation breaks pistons",
		"eye protection", "trained welder", "local law comes first", "licensed practice",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
}
