package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/flyweights"
)

// A list that is wrong by 1.5 times does not mislead the search where a run shows it: the
// recipe is all in where the true parts are, by the mechanism's own curve, and the report
// says with what it reckoned. As listed it would be 15 % later (the square root of 1.5, less
// what the preload leaves).
func TestSearchGoesByReadingsThatContradictTheList(t *testing.T) {
	t.Parallel()
	bare := func(rate string, runs any) []byte {
		return edited(t, story(t, 2), func(root map[string]any) {
			delete(root, "engine")
			delete(root, "readings")
			drawer := root["drawer"].(map[string]any)
			drawer["springs"] = drawer["springs"].([]any)[:1]
			drawer["springs"].([]any)[0].(map[string]any)["rate"] = rate
			root["target"] = map[string]any{"total": "34 deg crank", "all_in": []any{"2400 rpm crank", "4000 rpm crank"}}
			if runs != nil {
				root["runs"] = runs
			}
		})
	}
	j, err := job.Read(bare("2.9 N/mm", nil), nil)
	if err != nil {
		t.Fatal(err)
	}
	curve, err := j.Present()
	if err != nil {
		t.Fatal(err)
	}
	var list []any
	for i := range 14 {
		rpm := 650 + 250*float64(i)
		at := 9 + j.Drive.CrankDegrees(curve.Theta(j.Drive.Omega(rpm), flyweights.Rising)) + 0.4*math.Sin(5*rpm)
		list = append(list, map[string]any{"at": fmt.Sprintf("%g rpm crank", rpm), "shows": fmt.Sprintf("%.1f deg crank", at)})
	}
	r := work(t, bare("4.35 N/mm", []any{map[string]any{"label": "as found", "readings": list}}))
	if len(r.Recipes) == 0 || !strings.Contains(r.AsRead, "original") {
		t.Fatalf("%d recipes, %q", len(r.Recipes), r.AsRead)
	}
	best := &r.Recipes[0]
	low, high := 0.0, 6000.0
	for range 50 {
		if mid := (low + high) / 2; j.Drive.CrankDegrees(curve.Theta(j.Drive.Omega(mid), flyweights.Rising)) < best.Travel-0.01 {
			low = mid
		} else {
			high = mid
		}
	}
	if !(math.Abs(best.AllIn-low) <= 0.04*low) {
		t.Errorf("all in at %.0f rpm, the true parts at %.0f", best.AllIn, low)
	}
	if !strings.Contains(printed(t, r), "This goes by the readings") {
		t.Error("the sheet does not say by what it goes")
	}
}

// What list and readings leave open of a spring never keeps the search from it: a rate known
// to a half counts as known to what a search takes.
func TestJoinedSpringsAreSearched(t *testing.T) {
	t.Parallel()
	j, err := job.Read(demo(t), nil)
	if err != nil {
		t.Fatal(err)
	}
	rate := readings.Estimate{Value: 2000, Low: 500, High: 4500}
	s := j.Joined(rate, readings.Estimate{Value: 1, Low: 0.5, High: 1.5})
	if !(s.RateSigma > 0.2 && s.RateSigma <= 0.3) || s.Spring.Rate != 2000 {
		t.Errorf("a rate of %v: joined %+v", rate, s)
	}
	if _, err := job.Read(changed(t, `"rate": "1.9 N/mm"`, `"rate": "1.9 N/mm", "rate_within": "40 %"`), nil); err == nil || !strings.Contains(err.Error(), "valid is 0 to 0.3") {
		t.Errorf("a rate within 40 %%: error is %v, want the valid range", err)
	}
	// Two loads so near to each other leave a rate that is hardly known.
	near := `"hung": [{"mass": "100 g", "length": "26.0 mm"}, {"mass": "150 g", "length": "26.2 mm"}], "free_length": "25.6 mm"`
	if r := work(t, changed(t, `"rate": "2.4 N/mm", "free_length": "25.6 mm", "initial_tension": "0.3 N"`, near)); len(r.Recipes) == 0 {
		t.Error("a spring of hardly known rate keeps the search from all others")
	}
}
