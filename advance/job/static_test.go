package job_test

import (
	"errors"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// A static reading narrows the static timing; one that the readings exclude is left out and said so; an absurd one is
// refused.
func TestStaticReading(t *testing.T) {
	const given = `  "static_reading": "7.5 deg crank",
`
	with, without := work(t, demo(t)).Readings, work(t, changed(t, given, "")).Readings
	if with.AtRest == nil || !with.AtRest.Used || without.AtRest != nil {
		t.Errorf("with %+v, without %+v", with.AtRest, without.AtRest)
	}
	if with.Static.Bound != "interval" || !(with.Static.High-with.Static.Low < 0.8*(without.Static.High-without.Static.Low)) {
		t.Errorf("static timing with %+v, without %+v", with.Static, without.Static)
	}
	wrong := work(t, changed(t, `"static_reading": "7.5`, `"static_reading": "18`))
	if s := wrong.Readings; s.AtRest == nil || s.AtRest.Used || s.Static.Value != without.Static.Value {
		t.Errorf("18 deg at rest, 9.5 at 610 rpm: %+v, static timing %+v", s.AtRest, s.Static)
	}
	var text strings.Builder
	if err := wrong.Text(&text); err != nil {
		t.Fatal(err)
	}
	if want := "18.0 deg crank, which contradicts the readings"; !strings.Contains(strings.Join(strings.Fields(text.String()), " "), want) {
		t.Errorf("the print lacks %q", want)
	}
	if _, err := job.Read(changed(t, `"static_reading": "7.5`, `"static_reading": "75`), nil); !errors.Is(err, job.ErrJob) || !strings.Contains(err.Error(), "static_reading") {
		t.Errorf("75 deg at rest: got %v", err)
	}
}
