package job_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// story returns one of the saloon's jobs that examples/recurve builds in.
func story(t testing.TB, n int) []byte {
	t.Helper()
	return file(t, fmt.Sprintf("../../examples/recurve/saloon-%d.json", n))
}

// edited is a job with its decoded document changed.
func edited(t *testing.T, text []byte, change func(root map[string]any)) []byte {
	t.Helper()
	var root map[string]any
	if err := json.Unmarshal(text, &root); err != nil {
		t.Fatal(err)
	}
	change(root)
	out, err := json.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// turned takes so many degrees from every reading of the newest run.
func turned(root map[string]any, by float64) {
	runs := root["runs"].([]any)
	for _, x := range runs[len(runs)-1].(map[string]any)["readings"].([]any) {
		one := x.(map[string]any)
		var deg float64
		fmt.Sscanf(one["shows"].(string), "%f", &deg)
		one["shows"] = fmt.Sprintf("%g deg crank", deg-by)
	}
}

// The saloon's story: readings alone say how much travel to take away, the parts say
// which springs, and the run after the change passes its sheet.
func TestSaloon(t *testing.T) {
	t.Parallel()
	found := work(t, story(t, 1))
	if c := found.Change; c == nil || c.ClampOnly || !(c.Remove > 5) || found.Sheet == nil {
		t.Fatalf("readings alone: %+v", found.Change)
	}
	parts := work(t, story(t, 2))
	if len(parts.Recipes) == 0 || parts.Recipes[0].Springs["left"] != "light" || parts.Recipes[0].Springs["right"] != "original" {
		t.Fatalf("with the parts: %+v", parts.Recipes)
	}
	after := work(t, story(t, 3))
	if after.Runs == nil || after.Runs.Passed == nil || !*after.Runs.Passed {
		t.Fatalf("after the change: %+v", after.Runs)
	}
	for _, e := range after.Efforts {
		if e.First && e.Effort != "turn the distributor only" {
			t.Errorf("after the change more is asked for: %+v", e)
		}
	}
	if a, b := parts.Recipes[0].SlotLength, after.Recipes[0].SlotLength; !(math.Abs(a-b) <= 0.11) { // a step of the file
		t.Errorf("the slot was to be %g mm and is %g", a, b)
	}
}

// A distributor that was set late by more than a light of 1 deg explains fails and is told
// by how much to advance it; nothing else is blamed. One that was set late by less passes,
// and is told all the same.
func TestSetLate(t *testing.T) {
	t.Parallel()
	some := work(t, edited(t, story(t, 3), func(root map[string]any) { turned(root, 4) }))
	if len(some.Runs.Do) == 0 || !strings.Contains(some.Runs.Do[0], "dvance the distributor by 3.7") {
		t.Errorf("four degrees late: %+v", some.Runs)
	}
	r := work(t, edited(t, story(t, 3), func(root map[string]any) { turned(root, 6) }))
	if r.Runs.Passed == nil || *r.Runs.Passed || len(r.Runs.Do) == 0 || !strings.Contains(r.Runs.Do[0], "Advance the distributor by 5.7") {
		t.Errorf("six degrees late: %+v", r.Runs)
	}
	if !strings.Contains(r.Answer.Forbids, "does not pass") {
		t.Errorf("the first screen says %q", r.Answer.Forbids)
	}
}

// A spring that is not the one noted fails, and the part is named or left between its
// rivals.
func TestAnotherSpring(t *testing.T) {
	t.Parallel()
	r := work(t, edited(t, story(t, 3), func(root map[string]any) {
		runs := root["runs"].([]any)
		runs[1].(map[string]any)["springs"] = []any{"light", "light"} // noted, not fitted
	}))
	if r.Runs.Passed == nil || *r.Runs.Passed || len(r.Runs.Do) == 0 {
		t.Fatalf("another spring: %+v", r.Runs)
	}
	all := strings.Join(append(r.Runs.Do, r.Runs.Learned...), " ")
	if !strings.Contains(all, "springs") && !strings.Contains(all, "spring light") {
		t.Errorf("what to do: %q", r.Runs.Do)
	}
}

// Runs of pairs teach a mixed pair that nobody measured; where they do not, the run that
// would is named.
func TestLearnedFromRuns(t *testing.T) {
	t.Parallel()
	learn := func(root map[string]any) {
		delete(root, "drawer")
		root["distributor"] = map[string]any{"slot": root["distributor"].(map[string]any)["slot"]}
		for i, x := range root["runs"].([]any) {
			x.(map[string]any)["springs"] = []any{[]any{"original", "original"}, []any{"light", "original"}}[i]
		}
	}
	r := work(t, edited(t, story(t, 3), learn))
	text := strings.Join(r.Runs.Learned, "\n")
	if !strings.Contains(text, "light + light (never fitted)") {
		t.Errorf("learned: %q", text)
	}
	// The search works on what was learned as on what is listed.
	if !(r.Searched > 0) || len(r.Recipes) == 0 && r.NoFit == nil {
		t.Errorf("learned parts are not searched: %g combinations, %+v", r.Searched, r.NoFit)
	}
	only := work(t, edited(t, story(t, 3), func(root map[string]any) {
		learn(root)
		root["runs"] = root["runs"].([]any)[1:]
	}))
	if text := strings.Join(only.Runs.Learned, "\n"); !strings.Contains(text, "A run with another pair") {
		t.Errorf("one run: %q", text)
	}
}

// A machine's zero is its own: neither static timing nor total is judged.
func TestMachineRun(t *testing.T) {
	t.Parallel()
	r := work(t, edited(t, story(t, 3), func(root map[string]any) {
		runs := root["runs"].([]any)
		root["runs"] = runs[:1]
		delete(root, "drawer")
		runs[0].(map[string]any)["where"] = "machine"
	}))
	for _, f := range r.Findings {
		if strings.HasPrefix(f.Code, "total") || strings.HasPrefix(f.Code, "static") {
			t.Errorf("on a machine: %+v", f)
		}
	}
	if r.Change == nil || r.Change.Turn != 0 || len(r.Change.Notes) == 0 {
		t.Errorf("on a machine: %+v", r.Change)
	}
}

// On a distributor machine nothing is said of a static timing.
func TestMachineStartUnseen(t *testing.T) {
	t.Parallel()
	r := work(t, []byte(`{"title": "t", "runs": [{"where": "machine", "readings": [
		{"at": "300 rpm dist", "shows": "0 deg dist"}, {"at": "600 rpm dist", "shows": "2 deg dist"}, {"at": "1000 rpm dist", "shows": "7 deg dist"},
		{"at": "1500 rpm dist", "shows": "12 deg dist"}, {"at": "1800 rpm dist", "shows": "12 deg dist"}]}]}`))
	if len(r.Findings) == 0 || !strings.Contains(r.Findings[0].Text, "No reading shows the weights at rest") {
		t.Errorf("findings %+v", r.Findings)
	}
	for _, f := range r.Findings {
		if strings.Contains(f.Text, "static timing") {
			t.Errorf("a machine's zero is its own, and the report says: %s", f.Text)
		}
	}
}

// What contradicts itself in the runs is refused.
func TestRunsRefused(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ old, new, want string }{
		{`"date": "2026-04-25"`, `"date": "2026-04-01"`, "runs[1].date: is 2026-04-01, before that of the run above it"},
		{`"date": "2026-04-25"`, `"date": "25 April"`, "runs[1].date: is \"25 April\", valid is a date"},
		{`"clamp": "unknown"`, `"clamp": "loose"`, "runs[1].clamp: is \"loose\""},
		{`"clamp": "unknown"`, `"clamp_moved_by": "3 deg crank"`, "goes with \"clamp\": \"moved\""},
		{`"clamp": "unknown"`, `"where": "kitchen"`, "runs[1].where: is \"kitchen\""},
		{`"runs": [`, `"readings": [], "runs": [`, "readings: stands beside runs"},
	} {
		text := string(story(t, 3))
		if !strings.Contains(text, c.old) {
			t.Fatalf("the story holds no %q", c.old)
		}
		_, err := job.Read([]byte(strings.Replace(text, c.old, c.new, 1)), nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.new, err, c.want)
		}
	}
}
