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

func at(t *testing.T, r *job.Report, rpm float64) job.WantRow {
	t.Helper()
	for _, w := range r.Engine.Want {
		if w.RPM == rpm {
			return w
		}
	}
	t.Fatalf("the report says nothing of %g rpm", rpm)
	return job.WantRow{}
}

// bold is a total half-way from the best estimate of a limit that nobody heard to
// the high edge of its band.
func bold(t *testing.T) (job.WantRow, float64) {
	t.Helper()
	w := at(t, unheard(t), 2500)
	return w, (w.Limit + w.LimitHigh) / 2
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
	_, total := bold(t)
	r := work(t, observed(t, total, ""))
	if len(r.Recipes) == 0 || r.Unproven == "" || r.NoFit != nil || r.Sheet == nil || len(r.Sheet.Prove) == 0 {
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
	for _, words := range []string{"UNPROVEN", "Prove the total before the engine is worked", "chance"} {
		if !strings.Contains(b.String(), words) {
			t.Errorf("the print lacks %q", words)
		}
	}
}

// The same engine, heard: silence at full load lifts the limit out of the way; a
// trace knock below the total wished for forbids it.
func TestHeardLimitDecides(t *testing.T) {
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
	r := work(t, demo(t))
	for _, x := range r.Recipes {
		if x.Rank > 1 {
			continue // the curves are those of the first
		}
		w := at(t, r, x.KnockChanceRPM)
		total := math.NaN()
		for _, c := range r.Curves {
			if c.RPM == w.RPM {
				total = max(*c.Rising, *c.Falling)
			}
		}
		deviation := math.Hypot((w.Limit-w.LimitLow)/1.6449, 0.7)
		want := 50 * math.Erfc((w.Limit-total)/deviation/math.Sqrt2)
		if !(math.Abs(x.KnockChance-want) <= 0.05) { // angles are rounded to a hundredth
			t.Errorf("chance %g %%, the band at %g rpm makes it %g", x.KnockChance, w.RPM, want)
		}
	}
}

// Knock at speeds at which the engine is never given full throttle does not count.
func TestFullLoadFrom(t *testing.T) {
	all := work(t, demo(t))
	some := work(t, changed(t, `"idle": "800 rpm crank",`, `"idle": "800 rpm crank", "full_load_from": "1650 rpm crank",`))
	if first := some.Engine.Want[0].RPM; first != 1650 || some.Engine.Want[1].RPM != 2000 {
		t.Errorf("full load from 1650 rpm: asked at %g and %g", first, some.Engine.Want[1].RPM)
	}
	if a, b := all.Recipes[0], some.Recipes[0]; a.MarginRPM >= 1650 || !(b.MarginRPM >= 1650) || !(b.KnockChance < a.KnockChance) {
		t.Errorf("margin %g deg at %g rpm, chance %g %%; from 1650 rpm %g at %g, %g %%", a.Margin, a.MarginRPM, a.KnockChance, b.Margin, b.MarginRPM, b.KnockChance)
	}
}
