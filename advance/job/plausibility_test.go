package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// read is a job of a plain distributor: 10 deg static, from 1200 to 2800 rpm 24 deg more,
// and so on; more is what else the job says.
func read(curve func(rpm float64) float64, from, to, step float64, more string) []byte {
	var list []string
	for i, rpm := 0, from; rpm <= to; i, rpm = i+1, rpm+step {
		off := []float64{0.3, -0.4, 0.2, -0.1, 0.4, -0.3}[i%6] // the light's error
		list = append(list, fmt.Sprintf(`{"at": "%.0f rpm crank", "shows": "%.1f deg crank"}`, rpm, curve(rpm)+off))
	}
	return []byte(`{"title": "plain", "engine": {"idle": "700 rpm crank"}, "target": {"total": "34 deg crank"}, "readings": [` + strings.Join(list, ",") + `]` + more + `}`)
}

// plain is such a curve.
func plain(rpm float64) float64 { return 10 + 24*math.Min(math.Max(0, (rpm-1200)/1600), 1) }

// slotOf is a slot that allows so many crank degrees, on a radius of 20 mm.
func slotOf(deg float64) string {
	return fmt.Sprintf(`, "distributor": {"slot": {"length": "%.3f mm", "pin": "5 mm", "radius": "20 mm"}}`, 5+20*deg/2*math.Pi/180)
}

// Each sense check finds its own slip, and a sound set of readings has none of them.
func TestSenseChecks(t *testing.T) {
	t.Parallel()
	lifted := func(from, to, by float64) func(float64) float64 {
		return func(rpm float64) float64 {
			if rpm >= from && rpm <= to {
				return plain(rpm) + by
			}
			return plain(rpm)
		}
	}
	shifted := func(by float64) func(float64) float64 {
		return func(rpm float64) float64 { return plain(rpm) + by }
	}
	cases := []struct {
		code string
		job  []byte
	}{
		{"few-readings", read(plain, 600, 3600, 600, "")},
		{"other-shaft", read(func(rpm float64) float64 { return plain(rpm) / 2 }, 600, 3600, 250, slotOf(24))},
		{"other-shaft", read(func(rpm float64) float64 { return 2 * plain(rpm) }, 600, 3600, 250, slotOf(24))},
		{"slot-contradicts", read(plain, 600, 3600, 250, slotOf(17))},
		{"static-odd", read(shifted(20), 600, 3600, 250, "")},
		{"static-odd", read(shifted(-16), 600, 3600, 250, "")},
		{"stop-unseen", read(plain, 600, 2400, 150, "")},
		{"falls", read(func(rpm float64) float64 { return 40 - rpm/200 }, 600, 3600, 250, "")},
		{"hose-or-mark", read(shifted(11), 600, 3600, 250, `, "set_static": "10 deg crank"`+slotOf(24))},
		{"hose-at-some", read(lifted(2000, 2400, 11), 600, 3900, 250, "")},
	}
	for i, c := range cases {
		if testing.Short() && i%3 != 0 {
			continue
		}
		r := work(t, c.job)
		if f := finding(r, c.code); f == nil || f.Text == "" {
			t.Errorf("%s is not found in %s: %+v", c.code, c.job, r.Findings)
		}
	}
	sound := work(t, read(plain, 600, 3600, 250, slotOf(24)))
	for _, c := range cases {
		if f := finding(sound, c.code); f != nil {
			t.Errorf("a sound set of readings: %+v", f)
		}
	}
	// What is right, or what the readings do not settle, is no finding.
	for _, f := range sound.Findings {
		for _, word := range []string{"agrees", "do not settle"} {
			if strings.Contains(f.Text, word) {
				t.Errorf("%+v", f)
			}
		}
	}
}

// The demo with a spring listed twice as stiff as the one that is fitted.
func TestListedPartsContradict(t *testing.T) {
	t.Parallel()
	r := work(t, changed(t, `"rate": "1.6 N/mm"`, `"rate": "4.2 N/mm"`))
	if p := r.Readings.Parts; p == nil || p.Agrees {
		t.Errorf("%+v", p)
	}
	if !strings.Contains(strings.Join(r.Sheet.Warnings, " "), "do not agree") {
		t.Errorf("the sheet warns of %q", r.Sheet.Warnings)
	}
}

// Nothing is told to fit or set where the readings do not allow it, and the first screen
// says so.
func TestNothingYet(t *testing.T) {
	t.Parallel()
	for _, text := range [][]byte{read(plain, 600, 2400, 150, ""), read(func(rpm float64) float64 { return plain(rpm) / 2 }, 600, 3600, 250, slotOf(24))} {
		r := work(t, text)
		if r.Sheet != nil || r.Change != nil || r.Answer.Set != "" || r.Answer.Forbids == "" || !strings.Contains(strings.Join(r.Answer.Fit, " "), "nothing yet") {
			t.Errorf("%+v, sheet %v", r.Answer, r.Sheet)
		}
	}
}

// After a run that passes there is nothing to do.
func TestNothingToDo(t *testing.T) {
	t.Parallel()
	a := work(t, story(t, 3)).Answer
	if len(a.Fit) != 1 || !strings.Contains(a.Fit[0], "the newest run passes") || !strings.Contains(a.Set, "Leave the distributor") {
		t.Errorf("%+v", a)
	}
}
