package job_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// finding is the finding of a code, nil where there is none.
func finding(r *job.Report, code string) *job.Finding {
	for i := range r.Findings {
		if r.Findings[i].Code == code {
			return &r.Findings[i]
		}
	}
	return nil
}

// Whether idle stays put and whether the unit lets go in time stand in the vacuum part,
// in result.json and, where something is to be done, on the sheet. The unit can hold the
// spark no further past the limit than it pulls, and not for longer than it takes to let
// go. Fuel that hardly knocks leaves nothing to fear.
func TestIdleAndSnappedThrottle(t *testing.T) {
	t.Parallel()
	r := work(t, demo(t))
	v := r.Vacuum
	if v.Idling == nil || !v.Idling.Told || !v.Idling.Steady || !(v.Idling.Gain < 0.5) {
		t.Errorf("idle %+v, want steady: the ported source leaves it alone", v.Idling)
	}
	s := v.Snapped
	if s == nil || !s.Told || s.RPM != 2300 || s.From != 14 {
		t.Fatalf("snapped throttle %+v", s)
	}
	if !(s.Beyond > 0 && s.Beyond <= v.Most) || !(s.For > 0 && s.For <= s.Back+0.1) || !(s.Filled < s.Back) {
		t.Errorf("snapped throttle %+v, the unit gives %g deg", s, v.Most)
	}
	// One firing of each cylinder in two turns of the crank.
	if want := math.Ceil(s.For * s.RPM / 120); !(math.Abs(s.Firings-want) <= 1) {
		t.Errorf("%g firings, want %g", s.Firings, want)
	}
	if text := strings.Join(r.Sheet.Hose, " "); !strings.Contains(text, "Open the throttle gently") {
		t.Errorf("the sheet says %q", text)
	}
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"idle_hose_on"`, `"loop_gain"`, `"throttle_snapped_open"`, `"unit_back_s"`} {
		if !strings.Contains(string(data), want) {
			t.Errorf("result.json lacks %s", want)
		}
	}
	calm := work(t, edited(t, demo(t), func(root map[string]any) {
		engine := root["engine"].(map[string]any)
		engine["fuel"], engine["observed"] = []any{"110 RON", "105 MON"}, []any{}
	}))
	if s := calm.Vacuum.Snapped; s == nil || !s.Told || s.Beyond != 0 || s.Firings != 0 {
		t.Errorf("fuel of 110 RON: %+v", s)
	}
	// Without an engine nobody knows.
	bare := edited(t, demo(t), func(root map[string]any) {
		root["engine"] = map[string]any{"idle": "800 rpm crank", "top": "4200 rpm crank"}
		root["vacuum"].(map[string]any)["cruise_total"] = "42 deg crank"
	})
	if v := work(t, bare).Vacuum; v == nil || v.Source == "" || v.Idling != nil || v.Snapped != nil {
		t.Errorf("no engine, and yet %+v", v)
	}
}

// An engine of which only readings tell the curve is asked all the same.
func TestSnappedThrottleByReadingsAlone(t *testing.T) {
	t.Parallel()
	r := work(t, edited(t, demo(t), func(root map[string]any) {
		delete(root, "drawer")
		delete(root, "distributor")
	}))
	if v := r.Vacuum; v == nil || v.Snapped == nil || !v.Snapped.Told || v.Idling == nil || !v.Idling.Told {
		t.Fatalf("%+v", v)
	}
}

// Readings with the hose on are held against the unit. The demo's unit gives 15.76 deg
// crank at full pull: 4.4 mm of rod on an arm of 32 mm are 7.88 deg of the distributor.
func TestHoseOnAgainstTheUnit(t *testing.T) {
	t.Parallel()
	read := func(shows string) *job.Report {
		return work(t, edited(t, demo(t), func(root map[string]any) {
			root["readings"] = append(root["readings"].([]any), map[string]any{"at": "2530 rpm crank", "shows": shows, "vacuum": "15 inHg"})
		}))
	}
	agrees := read("44 deg crank")
	if list := agrees.Readings.HoseOn; len(list) != 1 || list[0].Differs || list[0].UnitHigh == nil || !(math.Abs(*list[0].UnitHigh-15.8) <= 0.3) {
		t.Errorf("%+v", list)
	}
	if f := finding(agrees, "unit-contradicts"); f != nil {
		t.Errorf("%+v", f)
	}
	for shows, want := range map[string]string{"33 deg crank": "less than it should", "58 deg crank": "more than it should"} {
		r := read(shows)
		if f := finding(r, "unit-contradicts"); f == nil || !strings.Contains(f.Text, want) || f.Evidence == "" {
			t.Errorf("%s: %+v", shows, f)
		}
	}
}

// What is told to set is a figure that a light can be set to, in every report.
func TestSettable(t *testing.T) {
	t.Parallel()
	names := []string{"demo", "saloon-2", "saloon-1", "saloon-3"}
	if testing.Short() {
		names = names[:2]
	}
	for _, name := range names {
		r := work(t, file(t, "../../examples/recurve/"+name+".json"))
		if s := r.Sheet; s != nil && s.SetDegrees != math.Round(2*s.SetDegrees)/2 {
			t.Errorf("%s: set %g deg at %g rpm", name, s.SetDegrees, s.SetRPM)
		}
		for _, x := range r.Recipes {
			if x.Sheet != nil && x.Sheet.SetDegrees != math.Round(2*x.Sheet.SetDegrees)/2 {
				t.Errorf("%s, recipe %d: set %g deg", name, x.Rank, x.Sheet.SetDegrees)
			}
		}
	}
}
