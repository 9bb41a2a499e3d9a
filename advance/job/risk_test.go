package job_test

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"example.org/bobweight/advance/job"
)

// observed is the demo with other observations of the engine and another total
// wished for.
func observed(t *testing.T, total float64, list string) []byte {
	t.Helper()
	text := string(changed(t, `"total": "33 deg crank"`, fmt.Sprintf(`"total": "%.1f deg crank"`, total)))
	from, rest, ok := strings.Cut(text, `"observed": [`)
	if !ok {
		t.Fatal("the demo observes nothing")
	}
	_, after, _ := strings.Cut(rest, "]")
	return []byte(from + `"observed": [` + list + "]" + after)
}

// at is what the engine wants at a speed, straight between two of the report.
func at(t *testing.T, r *job.Report, rpm float64) job.WantRow {
	t.Helper()
	for i, w := range r.Engine.Want {
		if w.RPM == rpm {
			return w
		}
		if i > 0 && w.RPM > rpm {
			before := r.Engine.Want[i-1]
			along := func(from, to float64) float64 { return from + (to-from)*(rpm-before.RPM)/(w.RPM-before.RPM) }
			return job.WantRow{RPM: rpm, Limit: along(before.Limit, w.Limit), LimitLow: along(before.LimitLow, w.LimitLow), LimitHigh: along(before.LimitHigh, w.LimitHigh)}
		}
	}
	t.Fatalf("the report says nothing of %g rpm", rpm)
	return job.WantRow{}
}

// bold is a total a third of the way from the best estimate of a limit that nobody
// heard to the high edge of its band.
func bold(t *testing.T) (job.WantRow, float64) {
	t.Helper()
	w := at(t, unheard(t), 2500)
	return w, w.Limit + (w.LimitHigh-w.Limit)/3
}

// unheard is a modest job without any observation, worked once.
func unheard(t *testing.T) *job.Report {
	t.Helper()
	once.Do(func() { modest = work(t, observed(t, 20, "")) })
	return modest
}

var (
	once   sync.Once
	modest *job.Report
)

// A limit that nobody heard warns, and does not forbid: recipes beyond its best
// estimate are marked, with the chance that they knock, and the sheet says how to
// prove them. The chance is that of the band: half at the best estimate, more
// beyond it.
func TestUnheardLimitWarns(t *testing.T) {
	t.Parallel()
	_, total := bold(t)
	r := work(t, observed(t, total, ""))
	if len(r.Recipes) == 0 || r.Unproven == "" || r.NoFit != nil || r.Sheet == nil || len(r.Sheet.Verify) == 0 {
		t.Fatalf("%d recipes, unproven %q, %+v", len(r.Recipes), r.Unproven, r.NoFit)
	}
	for _, x := range r.Recipes {
		if !(x.Margin < r.Engine.Margin) || (x.Margin < 0) && !(x.KnockChance > 50) {
			t.Errorf("recipe %d: margin %g deg, chance %g %%", x.Rank, x.Margin, x.KnockChance)
		}
		for _, w := range r.Engine.Want {
			if w.RPM >= x.AllIn && !(x.Total <= w.LimitHigh-r.Engine.Margin+0.01) {
				t.Errorf("recipe %d: total %g deg beyond the band that ends at %g deg at %g rpm", x.Rank, x.Total, w.LimitHigh, w.RPM)
			}
		}
	}
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		t.Fatal(err)
	}
	proves(t, r)
	for _, words := range []string{"UNPROVEN", "Verify under load before normal use", "chance"} {
		if !strings.Contains(b.String(), words) {
			t.Errorf("the print lacks %q", words)
		}
	}
}

// proves holds the steps of the sheet against the band and the curve of the report:
// the first pull lies at the band's low edge or ten degrees down, whichever is less
// far, and what is left is owned.
func proves(t *testing.T, r *job.Report) {
	t.Helper()
	steps := strings.Join(r.Sheet.Verify, "\n")
	if !strings.Contains(steps, "in a middle gear") || strings.Contains(steps, "high gear") {
		t.Errorf("the steps lug the engine, against the cautions: %q", steps)
	}
	var rpm, over, chance, back, less, total, still, static float64
	for i, format := range []string{
		"Chance of trace knock at full load: %f %%. At %f rpm the band of the limit begins %f deg below this timing.",
		"First retard the distributor by %f deg crank: total %f instead of %f, static %f instead of %f.",
	} {
		into := [][]any{{&chance, &rpm, &over}, {&back, &less, &total, &still, &static}}[i]
		if _, err := fmt.Sscanf(r.Sheet.Verify[i], format, into...); err != nil {
			t.Fatalf("%q: %v", r.Sheet.Verify[i], err)
		}
	}
	most := math.Inf(-1)
	for _, w := range r.Engine.Want {
		most = max(most, spark(t, r, w.RPM)-w.LimitLow)
	}
	if w := at(t, r, rpm); !(math.Abs(over-(spark(t, r, rpm)-w.LimitLow)) <= 0.07) || !(over >= most-0.07) { // printed to a tenth
		t.Errorf("the band begins %g deg below at %g rpm, by the report %g there and %g at most", over, rpm, spark(t, r, rpm)-w.LimitLow, most)
	}
	best := r.Recipes[0]
	if !(math.Abs(static-best.Static) <= 0.06) || !(math.Abs(static-back-still) <= 0.11) {
		t.Errorf("static %g less %g is %g; the recipe has %g deg", static, back, still, best.Static)
	}
	if !(math.Abs(chance-best.KnockChance) <= 0.51) || !(math.Abs(total-best.Total) <= 0.06) || !(math.Abs(total-back-less) <= 0.11) {
		t.Errorf("chance %g %%, total %g less %g is %g; the recipe has %g %% and %g deg", chance, total, back, less, best.KnockChance, best.Total)
	}
	if !(back <= 10) || !(back == 10 || back >= over-0.06 && back < over+1.06) {
		t.Errorf("retarded by %g deg for %g deg of band", back, over)
	}
	left := fmt.Sprintf("%.1f deg inside the band", over-back)
	if inside := over > back; strings.Contains(steps, "inside the band") != inside || inside && !strings.Contains(steps, left) {
		t.Errorf("retarded by %g of %g deg: %s", back, over, steps)
	}
	for _, words := range []string{"throttle back at once and retard by 2.0 deg", "at full load from 1000 rpm", "advance by 2 deg"} {
		if !strings.Contains(steps, words) {
			t.Errorf("the steps lack %q: %s", words, steps)
		}
	}
}

// spark is the first recipe's greater spark of the two ways to a speed of the
// report's curves, or to that of its margin.
func spark(t *testing.T, r *job.Report, rpm float64) float64 {
	t.Helper()
	if best := r.Recipes[0]; math.Abs(rpm-best.MarginRPM) <= 0.5 { // printed to 1 rpm
		return at(t, r, best.MarginRPM).Limit - best.Margin
	}
	for _, c := range r.Curves {
		if c.RPM == rpm {
			return max(*c.Rising, *c.Falling)
		}
	}
	t.Fatalf("the report holds no curve at %g rpm", rpm)
	return 0
}

// Who asks for no margin still retards once knock is heard.
func TestKnockHeardAlwaysRetards(t *testing.T) {
	t.Parallel()
	w, _ := bold(t)
	text := string(observed(t, math.Floor(w.LimitLow)+4, ""))
	text = strings.Replace(text, `"knock_margin": "2 deg crank"`, `"knock_margin": "0 deg crank"`, 1)
	r := work(t, []byte(text))
	if r.Engine.Margin != 0 || r.Sheet == nil || !strings.Contains(strings.Join(r.Sheet.Verify, " "), "retard by 2.0 deg") {
		t.Errorf("margin %g, sheet %+v", r.Engine.Margin, r.Sheet)
	}
}

// Beyond half-way up the band, less the margin, even a limit that nobody heard
// forbids, and the report says so and that it is in doubt; a degree within it warns.
func TestHalfTheBandForbids(t *testing.T) {
	t.Parallel()
	poor := func(total float64) *job.Report {
		text := string(observed(t, total, ""))
		for _, k := range [][2]string{{"95 RON", "82 RON"}, {"85 MON", "78 MON"}} {
			if !strings.Contains(text, k[0]) {
				t.Fatalf("the demo holds no %q", k[0])
			}
			text = strings.Replace(text, k[0], k[1], 1)
		}
		return work(t, []byte(text))
	}
	r := poor(20)
	late, early := at(t, r, 2800), at(t, r, 2300) // the speeds between which the demo wishes all of it in
	r = poor((late.Limit+late.LimitHigh)/2 - r.Engine.Margin + 1)
	if len(r.Recipes) != 0 || r.NoFit == nil || !strings.Contains(r.NoFit.Doubt, "without any knock heard") || !strings.Contains(r.NoFit.Knock, "target.total") || r.Unproven != "" {
		t.Errorf("total beyond the band: %d recipes, %q, %+v", len(r.Recipes), r.Unproven, r.NoFit)
	}
	r = poor((early.Limit+early.LimitHigh)/2 - r.Engine.Margin - 1)
	if len(r.Recipes) == 0 || r.Unproven == "" || r.NoFit != nil {
		t.Errorf("total a degree within the band: %d recipes, %q, %+v", len(r.Recipes), r.Unproven, r.NoFit)
	}
}

// The same engine, heard: silence at full load lifts the limit out of the way; a
// trace knock below the total wished for forbids it.
func TestHeardLimitDecides(t *testing.T) {
	t.Parallel()
	before, total := bold(t)
	r := work(t, observed(t, total, fmt.Sprintf(`{"what": "no knock", "at": "2500 rpm crank", "spark": "%.1f deg crank"}`, total+5)))
	if after := at(t, r, 2500); !(after.Limit > before.Limit+5 && after.LimitLow > before.LimitLow+5) {
		t.Errorf("limit at 2500 rpm %g (%g to %g) after %g (%g to %g)", after.Limit, after.LimitLow, after.LimitHigh, before.Limit, before.LimitLow, before.LimitHigh)
	}
	if len(r.Recipes) == 0 || !(r.Recipes[0].Margin >= r.Engine.Margin-0.01) || r.Unproven != "" {
		t.Errorf("after a silence at %.1f deg: %d recipes, %q, %+v", total+5, len(r.Recipes), r.Unproven, r.NoFit)
	}
	r = work(t, observed(t, total, fmt.Sprintf(`{"what": "trace knock", "at": "2500 rpm crank", "spark": "%.1f deg crank"}`, total-5)))
	if len(r.Recipes) != 0 || r.NoFit == nil {
		t.Errorf("trace knock 5 deg below the total wished for: %d recipes", len(r.Recipes))
	}
}

// The chance against the band by its definition: 5 % of engines knock below the low
// edge, half below the best estimate. The recipes of the demo keep some distance,
// and their chance lies between what the nearest edge and the light's own error
// make of it.
func TestChanceIsTheBands(t *testing.T) {
	t.Parallel()
	_, total := bold(t)
	beyond := 0
	for _, r := range []*job.Report{work(t, demo(t)), work(t, observed(t, total, ""))} {
		x := r.Recipes[0] // the curves are those of the first
		w := at(t, r, x.KnockChanceRPM)
		if spark(t, r, w.RPM) > w.Limit {
			beyond++
		}
		want := knocks(w, spark(t, r, w.RPM))
		if !(math.Abs(x.KnockChance-want) <= 0.05) { // angles are rounded to a hundredth
			t.Errorf("chance %g %%, the band at %g rpm makes it %g", x.KnockChance, w.RPM, want)
		}
		for _, w := range append([]job.WantRow{at(t, r, x.MarginRPM)}, r.Engine.Want...) {
			if least := knocks(w, spark(t, r, w.RPM)); !(x.KnockChance >= least-0.05) {
				t.Errorf("chance %g %%, the band at %g rpm makes it %g", x.KnockChance, w.RPM, least)
			}
		}
	}
	if beyond != 1 {
		t.Errorf("%d of two recipes lie beyond the best estimate, want one on either side", beyond)
	}
}

// knocks is the chance in % that a spark set by the demo's light knocks.
func knocks(w job.WantRow, spark float64) float64 {
	edge := w.Limit - w.LimitLow
	if spark > w.Limit {
		edge = w.LimitHigh - w.Limit
	}
	return 50 * math.Erfc((w.Limit-spark)/math.Hypot(edge/1.6449, 0.7)/math.Sqrt2)
}

// Knock at speeds at which the engine is never given full throttle does not count.
func TestFullLoadFrom(t *testing.T) {
	t.Parallel()
	all := work(t, demo(t))
	some := work(t, changed(t, `"idle": "800 rpm crank",`, `"idle": "800 rpm crank", "full_load_from": "1650 rpm crank",`))
	if first := some.Engine.Want[0].RPM; first != 1650 || some.Engine.Want[1].RPM != 2000 {
		t.Errorf("full load from 1650 rpm: asked at %g and %g", first, some.Engine.Want[1].RPM)
	}
	if a, b := all.Recipes[0], some.Recipes[0]; a.MarginRPM >= 1650 || !(b.MarginRPM >= 1650) || !(b.KnockChance < a.KnockChance) {
		t.Errorf("margin %g deg at %g rpm, chance %g %%; from 1650 rpm %g at %g, %g %%", a.Margin, a.MarginRPM, a.KnockChance, b.Margin, b.MarginRPM, b.KnockChance)
	}
}

// A total far beyond best torque is called that, and the sheet of an unproven recipe
// says so above everything else.
func TestSheetAndFindingsWarn(t *testing.T) {
	t.Parallel()
	r := work(t, changed(t, `"total": "33 deg crank"`, `"total": "50 deg crank"`))
	if len(r.Findings) == 0 || r.Findings[0].Code != "total-beyond-best" || !(r.Findings[0].Size > 10) {
		t.Errorf("50 deg wished for: %+v", r.Findings)
	}
	_, total := bold(t)
	bold := work(t, observed(t, total, ""))
	if len(bold.Sheet.Warnings) != 1 || !strings.Contains(bold.Sheet.Warnings[0], "UNPROVEN") || !strings.Contains(bold.Sheet.Text(), "! UNPROVEN") {
		t.Errorf("warnings of an unproven sheet: %q", bold.Sheet.Warnings)
	}
	if calm := work(t, demo(t)); len(calm.Sheet.Warnings) != 0 || strings.Contains(calm.Sheet.Text(), "! ") {
		t.Errorf("warnings of the demo: %q", calm.Sheet.Warnings)
	}
	apart := work(t, changed(t, `"rate": "1.6 N/mm"`, `"rate": "3.2 N/mm"`))
	if apart.Sheet != nil && (apart.Readings.Parts.Agrees || len(apart.Sheet.Warnings) != 1) {
		t.Errorf("parts that do not agree: %+v, warnings %q", apart.Readings.Parts, apart.Sheet.Warnings)
	}
}
