package job_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// The answer of the demo: every spring with its place, the slot, what to set, four
// checks, what it gains, what is least sure, and what stands against it. One figure
// stands for one thing: slot, total and static timing are the same in the answer, the
// ladder, the recipe and the sheet.
func TestAnswerIsTheRecipes(t *testing.T) {
	t.Parallel()
	r := work(t, demo(t))
	a, best, fit := r.Answer, r.Recipes[0], strings.Join(r.Answer.Fit, "\n")
	for place, spring := range best.Springs {
		if !strings.Contains(fit, spring+" at "+place) {
			t.Errorf("%q does not name %s at %s", fit, spring, place)
		}
	}
	for _, want := range []string{fmt.Sprintf("close %.2f mm, to %.2f mm", best.SlotClosing, best.SlotLength), "weights " + best.Weights} {
		if !strings.Contains(fit, want) {
			t.Errorf("%q lacks %q", fit, want)
		}
	}
	if want := fmt.Sprintf("Hold %.0f rpm", r.Sheet.SetRPM); !strings.Contains(a.Set, want) || !strings.Contains(a.Set, fmt.Sprintf("%.1f deg", r.Sheet.SetDegrees)) {
		t.Errorf("%q", a.Set)
	}
	if len(a.Check) != 4 || !strings.Contains(a.Check[0], "idle") || a.Gains == "" || a.Unsure == "" {
		t.Errorf("%+v", a)
	}
	if r.Sheet.Slot.Closing != best.SlotClosing || r.Sheet.Static != best.Static || r.Sheet.Total != best.Total {
		t.Errorf("the sheet has %+v, %g, %g; the recipe %g, %g, %g", r.Sheet.Slot, r.Sheet.Static, r.Sheet.Total, best.SlotClosing, best.Static, best.Total)
	}
	if best.KnockChance >= 10 && !strings.Contains(a.Forbids, fmt.Sprintf("%.0f %%", best.KnockChance)) {
		t.Errorf("a chance of %g %% stands against it, and %q is said", best.KnockChance, a.Forbids)
	}
	// A slot is closed in steps that a file hits, and by no less than is worth a weld.
	for _, x := range r.Recipes {
		if c := x.SlotClosing; c != 0 && (math.Abs(c) < 0.3 || math.Abs(10*c-math.Round(10*c)) > 1e-6) {
			t.Errorf("recipe %d closes the slot by %g mm", x.Rank, c)
		}
	}
}

// The ladder has every effort, the least first, and marks one of them as the first
// recipe, with the same figures.
func TestLadderHasEveryEffort(t *testing.T) {
	t.Parallel()
	r := work(t, demo(t))
	var efforts []string
	first := 0
	for _, e := range r.Efforts {
		efforts = append(efforts, e.Effort)
		if !e.First {
			continue
		}
		first++
		if want := fmt.Sprintf("static %.1f + travel %.1f = %.1f deg", r.Recipes[0].Static, r.Recipes[0].Travel, r.Recipes[0].Total); !strings.Contains(e.Recipe, want) {
			t.Errorf("%q lacks %q", e.Recipe, want)
		}
	}
	want := []string{"turn the distributor only", "springs only", "slot only", "springs and slot", "everything"}
	if first != 1 || !slices.Equal(efforts, want) {
		t.Errorf("%d first, efforts %q", first, efforts)
	}
}

// What nobody said is named with what another value would change; what was said is not.
func TestWhatDecided(t *testing.T) {
	t.Parallel()
	named := func(text []byte) map[string]string {
		out := map[string]string{}
		for _, d := range work(t, text).Decided {
			if d.Taken == "" || d.Turns == "" {
				t.Errorf("%+v", d)
			}
			out[d.Field] = d.Turns
		}
		return out
	}
	open := named(demo(t))
	if turns, ok := open["engine.full_load_from"]; !ok || !strings.Contains(turns, "full throttle only from 1500 rpm") {
		t.Errorf("the lowest speed of full load is not asked for: %q", open)
	}
	said := named(changed(t, `"top": "4200 rpm crank",`, `"top": "4200 rpm crank", "full_load_from": "1000 rpm crank",`))
	if _, ok := said["engine.full_load_from"]; ok {
		t.Errorf("it was said: %q", said)
	}
}

// A piston stop that meets the mark at 31 deg before and 27 deg after top centre shows a
// mark that reads 2 deg too much: all timing is 2 deg less.
func TestPistonStop(t *testing.T) {
	t.Parallel()
	as := work(t, read(plain, 600, 3600, 250, ""))
	stopped := work(t, []byte(strings.Replace(string(read(plain, 600, 3600, 250, "")), `"idle": "700 rpm crank"`, `"idle": "700 rpm crank", "piston_stop": ["31 deg crank", "27 deg crank"]`, 1)))
	if a, b := as.Readings.Static.Value, stopped.Readings.Static.Value; !(math.Abs(a-b-2) <= 0.02) {
		t.Errorf("static %g without, %g with the stop", a, b)
	}
}

// Who stops at SET must not drive with a timing that the engine may not bear: the line
// itself says to turn back, to the total of the first pull that the sheet names.
func TestSetTurnsBackBeforeLoad(t *testing.T) {
	t.Parallel()
	names := []string{"one-slack-spring", "long-cam", "clamp-only"}
	if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		r := work(t, file(t, "testdata/reports/"+name+".json"))
		to := r.Answer.Set[strings.LastIndex(r.Answer.Set, "turn back to ")+len("turn back to "):]
		to, ok := strings.CutSuffix(to, " before any load.")
		if !ok || !strings.Contains(r.Answer.Forbids, "at "+to+".") || !strings.Contains(strings.Join(r.Sheet.Verify, " "), "total "+to+" instead") {
			t.Errorf("%s: set %q, against it %q, sheet %q", name, r.Answer.Set, r.Answer.Forbids, r.Sheet.Verify)
		}
		if name == "one-slack-spring" && (!strings.Contains(r.Answer.Forbids, "NOT KNOWN") || !strings.Contains(r.Sheet.Verify[0], "NOT KNOWN")) {
			t.Errorf("without an engine: %q, %q", r.Answer.Forbids, r.Sheet.Verify)
		}
	}
}

// A reading above the wanted total forbids driving, by what the light showed; nothing is
// called level that rose up to the highest speed. Readings in doubt forbid all figures.
func TestReadingsForbid(t *testing.T) {
	t.Parallel()
	r := work(t, file(t, "testdata/reports/six-readings.json"))
	if !strings.Contains(r.Answer.Forbids, "Do not drive it so: the light showed 38.5 deg at 3600 rpm, at least 4.5 more than the 34.0") {
		t.Errorf("%q", r.Answer.Forbids)
	}
	if f := r.Findings[0]; f.Code != "total-over" || !strings.Contains(f.Text, "Take 4.5 deg or more out") || strings.Contains(f.Text, "level") {
		t.Errorf("%+v", f)
	}
	r = work(t, file(t, "testdata/reports/wrong-shaft.json"))
	if a := r.Answer.Forbids; !strings.Contains(a, "change no timing") || strings.Contains(a, r.Findings[0].Text) {
		t.Errorf("%q", a)
	}
	if !strings.Contains(r.Findings[0].Text, "a weight that sticks") {
		t.Errorf("%q", r.Findings[0].Text)
	}
}
