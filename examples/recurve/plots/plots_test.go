package plots_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"testing"

	"gonum.org/v1/plot/plotter"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/figure/golden"
	"example.org/bobweight/examples/recurve/plots"
)

// demo works the program's own job through.
func demo(t *testing.T) *job.Report {
	t.Helper()
	text, err := os.ReadFile("../demo.json")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(text, nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := j.Run(t.Context(), nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestCurves(t *testing.T) {
	r := demo(t)
	p, err := plots.Curves(r)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, []figure.Figure{{Name: "demo", Plot: &figure.Plot{Plot: p}}})

	// A report read back from result.json draws the same, to the byte.
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var again job.Report
	if err := json.Unmarshal(data, &again); err != nil {
		t.Fatal(err)
	}
	first, err := plots.Draw(r, "svg")
	if err != nil {
		t.Fatal(err)
	}
	second, err := plots.Draw(&again, "svg")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(first, second) {
		t.Error("result.json draws another curve.svg than the report that it holds")
	}
}

// What a report lacks is left out, and the axes hold what is there.
func TestCurvesOfReadingsAlone(t *testing.T) {
	r := &job.Report{Title: "only read", Readings: &job.ReadingsPart{}}
	r.Readings.Points = []job.ReadPoint{{RPM: 800, Degrees: 10}, {RPM: 3600, Degrees: 36, Hose: true}}
	p, err := plots.Curves(r)
	if err != nil {
		t.Fatal(err)
	}
	if p.X.Min != 0 || !(p.X.Max >= 3600 && p.X.Max <= 5000) || p.Y.Min != 0 || p.Y.Max != 41 {
		t.Errorf("axes %g to %g rpm and %g to %g deg, want 0 to 3600 with room for names, and 0 to 41", p.X.Min, p.X.Max, p.Y.Min, p.Y.Max)
	}
	picture, err := plots.Draw(r, "svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		text string
		want bool
	}{{"readings", true}, {"readings, hose on", true}, {"best torque", false}, {"new curve (thin: falling)", false}} {
		if got := bytes.Contains(picture, []byte(">"+c.text+"<")); got != c.want {
			t.Errorf("%q stands in the picture: %v, want %v", c.text, got, c.want)
		}
	}
}

// Nothing but the upper edge of the knock band leaves the frame, timing after top
// centre included, and where no knock was met the band says so.
func TestNothingIsCut(t *testing.T) {
	deg := func(x float64) *float64 { return &x }
	r := &job.Report{
		Curves: []job.CurveRow{
			{RPM: 1000, Rising: deg(-4), Low: deg(-6), High: deg(12), Limit: deg(60)},
			{RPM: 3000, Rising: deg(30), High: deg(32), Low: deg(28), Limit: deg(50)},
		},
		Engine: &job.EnginePart{Want: []job.WantRow{
			{RPM: 1000, Limited: true, Limit: 60, LimitLow: 55, LimitHigh: 90}, {RPM: 3000, LimitLow: 62},
		}},
	}
	p, err := plots.Curves(r)
	if err != nil {
		t.Fatal(err)
	}
	if p.Y.Max != 67 || p.Y.Min != -8 || p.X.Max < 3000 {
		t.Errorf("the axes show up to %g rpm and %g to %g deg, want 3000 or more and -8 to 67", p.X.Max, p.Y.Min, p.Y.Max)
	}
	picture, err := plots.Draw(r, "svg")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"knock limit at least", "no knock met: the limit lies in here or above", "new curve (thin: falling)"} {
		if !bytes.Contains(picture, []byte(want)) {
			t.Errorf("the picture lacks %q", want)
		}
	}
}

func TestUnknownFormat(t *testing.T) {
	if _, err := plots.Draw(&job.Report{}, "picture"); err == nil {
		t.Error("an unknown format was drawn")
	}
}

// A curve that is no number is refused.
func TestNotANumber(t *testing.T) {
	x := 0.0
	x /= x
	r := &job.Report{Curves: []job.CurveRow{{RPM: 1000, Rising: &x}, {RPM: 2000, Rising: &x}}}
	if _, err := plots.Curves(r); !errors.Is(err, plotter.ErrNaN) {
		t.Errorf("error is %v, want %v", err, plotter.ErrNaN)
	}
}
