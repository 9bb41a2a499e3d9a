package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// printed is what a report prints, on one line.
func printed(t *testing.T, r *job.Report) string {
	t.Helper()
	var b strings.Builder
	if err := r.Text(&b); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// Where an engine is described, torque is told now and after, as the loss rows of the
// recipe say it; without an engine nothing is said of torque.
func TestTorqueNowAndAfter(t *testing.T) {
	t.Parallel()
	r := work(t, demo(t))
	_, rest, ok := strings.Cut(r.Answer.Gains, "the engine then gives ")
	var after, now float64
	if _, err := fmt.Sscanf(rest, "%f %% of its best torque on average, knock left aside, now %f %%", &after, &now); !ok || err != nil {
		t.Fatalf("gains: %q: %v", r.Answer.Gains, err)
	}
	// Both follow the curve: the recipe's own mean of the loss is rounded to a tenth.
	if given := 100 - r.Recipes[0].GivenUp; !(math.Abs(after-given) <= 0.1) || !(now > 50 && now <= 100) {
		t.Errorf("%g %% after, %g %% now; the recipe leaves %.2f", after, now, given)
	}
	if alone := work(t, section(t, "readings")); strings.Contains(alone.Answer.Gains, "torque") {
		t.Errorf("without an engine: %q", alone.Answer.Gains)
	}
}

// Where both places of the springs have the same measures it does not matter which is
// which; where they differ the drawing shows them.
func TestWhichPlace(t *testing.T) {
	t.Parallel()
	if fit := strings.Join(work(t, demo(t)).Answer.Fit, " "); !strings.Contains(fit, "north and south are alike") {
		t.Errorf("alike: %q", fit)
	}
	unlike := changed(t, `"weight": 2, "plate_post": ["6 mm", "13 mm"]`, `"weight": 2, "plate_post": ["6.4 mm", "13 mm"]`)
	if fit := strings.Join(work(t, unlike).Answer.Fit, " "); !strings.Contains(fit, "the drawing shows north and south") {
		t.Errorf("not alike: %q", fit)
	}
}

// For the first pull a distributor is never turned back beyond top centre, and a hose is
// connected again after the check, whether a unit is described or not.
func TestTurnedBackToTopCentreAtMost(t *testing.T) {
	t.Parallel()
	lows := []float64{0.4, 3, 6, 12}
	if testing.Short() {
		lows = lows[:1]
	}
	for _, low := range lows {
		var rows []string
		for i := range 12 {
			rpm := 600 + 300*float64(i)
			deg := low + math.Max(0, math.Min(34-low, (rpm-1100)*(34-low)/1700)) + 0.3*math.Sin(7*rpm)
			rows = append(rows, fmt.Sprintf(`{"at": "%g rpm crank", "shows": "%.1f deg crank"}`, rpm, deg))
		}
		text := fmt.Sprintf(`{"title": "low", "target": {"total": "34 deg crank", "static_range": ["0 deg crank", "%g deg crank"]}, "readings": [%s]}`, low+1, strings.Join(rows, ", "))
		r := work(t, []byte(text))
		if r.Sheet == nil {
			t.Fatalf("static %g deg: no sheet: %+v", low, r.Answer)
		}
		var total, was, static, of float64
		for _, step := range r.Sheet.Verify {
			if _, rest, ok := strings.Cut(step, "total "); ok && strings.HasPrefix(step, "First retard") {
				if _, err := fmt.Sscanf(rest, "%f instead of %f, static %f instead of %f", &total, &was, &static, &of); err != nil {
					t.Errorf("static %g deg: %q: %v", low, step, err)
				}
			}
		}
		if !(static >= 0) || of > 1 && !(total < was) {
			t.Errorf("static %g deg is turned back to %g of %g, total %g of %g", low, static, of, total, was)
		}
		if len(r.Sheet.Hose) != 1 || !strings.Contains(r.Sheet.Hose[0], "connect its hose again only now") {
			t.Errorf("hose: %q", r.Sheet.Hose)
		}
	}
}

// A machine's ring of degrees has its zero anywhere: the curve is the same, and what was
// taken off is told.
func TestMachineRing(t *testing.T) {
	t.Parallel()
	on := func(zero float64) []byte {
		var rows []string
		for i := range 12 {
			rpm := 300 + 150*float64(i)
			deg := zero + math.Max(0, math.Min(12, (rpm-550)*12/850)) + 0.1*math.Sin(7*rpm)
			rows = append(rows, fmt.Sprintf(`{"at": "%g rpm dist", "shows": "%.2f deg dist"}`, rpm, deg))
		}
		return []byte(`{"title": "ring", "runs": [{"label": "bench", "where": "machine", "readings": [` + strings.Join(rows, ", ") + `]}]}`)
	}
	near, far := work(t, on(0)), work(t, on(215))
	if a, b := near.Readings.Travel.Value, far.Readings.Travel.Value; !(math.Abs(a-b) <= 0.02) || !(math.Abs(a-24) <= 1) {
		t.Errorf("travel %g from a zero near by, %g from one far off, want 24", a, b)
	}
	if text := printed(t, far); !strings.Contains(text, "counted from 430 deg crank (215 deg dist)") {
		t.Errorf("the zero is not told: %v", far.Notes)
	}
}
