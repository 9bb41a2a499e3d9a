package sheet_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/sheet"
)

// ramp is a distributor that begins at 600 rpm and is all in at 2600, 10 + 24.
func ramp(rpm float64) (rising, falling, low, high float64, err error) {
	a := 10 + 24*math.Max(0, math.Min(1, (rpm-600)/2000))
	return a, a + 0.5, a - 1.5, a + 1.5, nil
}

func rampInput() sheet.Input {
	return sheet.Input{
		Title: "ramp", Static: 10, Travel: 24, Idle: 800, AllIn: 2600, Top: 3500,
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
	if len(s.Rows) != 11 || s.Rows[0].RPM != 1000 || s.Rows[10].RPM != 3500 {
		t.Fatalf("rows are %v, want 1000 to 3500 by 250", s.Rows)
	}
	for i, r := range s.Rows {
		rising, falling, low, high, _ := ramp(r.RPM)
		want := sheet.Row{RPM: r.RPM, Rising: sheet.Round(rising), Falling: sheet.Round(falling), Low: sheet.Round(low), High: sheet.Round(high)}
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
		want := fmt.Sprintf("   %5.0f   %6.1f   %7.1f   %11.1f  %5.1f\n", r.RPM, r.Rising, r.Falling, r.Low, r.High)
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
	if d := sheet.RimDistance(180, 360); d != math.Pi*180 {
		t.Errorf("a whole turn is %g mm, want %g", d, math.Pi*180)
	}
}

func TestSettingSpeedStaysPastAllIn(t *testing.T) {
	for _, c := range []struct{ allIn, top, want float64 }{
		{2500, 4000, 3000}, {2800, 4000, 3000}, {2850, 4000, 3100}, {3210, 4000, 3500}, {2500, 2800, 2800},
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
		{"top below all-in", "top speed is 2000 rpm crank", func(in *sheet.Input) { in.Top = 2000 }},
		{"damper", "damper diameter is 5 mm", func(in *sheet.Input) { in.Damper = 5 }},
		{"drive", "drive ratio is 0", func(in *sheet.Input) { in.Drive = 0 }},
		{"no curve", "no curve was given", func(in *sheet.Input) { in.At = nil }},
		{"curve NaN", "the curve at 800 rpm crank is NaN", func(in *sheet.Input) {
			in.At = func(float64) (a, b, c, d float64, err error) { return 1, 2, math.NaN(), 3, nil }
		}},
	} {
		in := rampInput()
		c.spoil(&in)
		_, err := sheet.New(in)
		if !errors.Is(err, sheet.ErrRange) || !strings.Contains(err.Error(), c.want) {
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
		Title: "example", Static: 10, Travel: 24, Idle: 800, AllIn: 2600, Top: 3000,
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
