package job_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// A static reading narrows the static timing; one that the readings exclude is left out and said so; an absurd one is
// refused.
func TestStaticReading(t *testing.T) {
	t.Parallel()
	const given = `  "static_reading": "7.5 deg crank",
`
	with, without := work(t, demo(t)).Readings, work(t, changed(t, given, "")).Readings
	if with.AtRest == nil || !with.AtRest.Used || without.AtRest != nil {
		t.Errorf("with %+v, without %+v", with.AtRest, without.AtRest)
	}
	if with.Static.Bound != "interval" || !(*with.Static.High-*with.Static.Low < 0.9*(*without.Static.High-*without.Static.Low)) {
		t.Errorf("static timing with %+v, without %+v", with.Static, without.Static)
	}
	wrong := work(t, changed(t, `"static_reading": "7.5`, `"static_reading": "18`))
	if s := wrong.Readings; s.AtRest == nil || s.AtRest.Used || s.Static.Value != without.Static.Value {
		t.Errorf("18 deg at rest, 9.5 at 610 rpm: %+v, static timing %+v", s.AtRest, s.Static)
	}
	if wrong.Findings[0].Code != "static-contradicts" || !(wrong.Findings[0].Size > 5) {
		t.Errorf("18 deg at rest: first finding %+v", wrong.Findings[0])
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

// Readings on one level above all-in have no ramp to which a static reading could be
// joined: none is invented, and the report holds no figure that is not a number.
func TestStaticReadingWithoutRamp(t *testing.T) {
	t.Parallel()
	text := string(demo(t))
	from, rest, _ := strings.Cut(text, `    {"at": "610 rpm crank"`)
	_, after, ok := strings.Cut(rest, `    {"at": "3710 rpm crank"`)
	if !ok {
		t.Fatal("the demo reads at other speeds")
	}
	r := work(t, []byte(from+`    {"at": "4000 rpm crank", "shows": "40 deg crank"}, {"at": "3710 rpm crank"`+after))
	if s := r.Readings; s.AtRest == nil || s.AtRest.Used || s.AllIn.Bound != "unknown" || len(s.Slopes) != 0 || !strings.Contains(s.AtRest.Note, "one level") {
		t.Errorf("static reading %+v, all-in %+v, slopes %v", s.AtRest, s.AllIn, s.Slopes)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
	for _, f := range r.Findings {
		if f.Code == "set-at-idle" {
			t.Errorf("without a ramp a setting at idle leaves nobody knows what: %s", f.Text)
		}
	}
}
