package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/examples/internal/figure/golden"
)

func TestStudy(t *testing.T) {
	all, err := solveAll(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Run("plots", func(t *testing.T) { testPlots(t, all) })
	for i := range all {
		t.Run(all[i].engine.name, func(t *testing.T) { testOutcome(t, &all[i]) })
	}
}

// The plots as they were looked at; -regen makes them anew.
func testPlots(t *testing.T, all []outcome) {
	drawn, err := figures(all)
	if err != nil {
		t.Fatal(err)
	}
	golden.Check(t, drawn)
}

// What the figure says: the old set-up keeps no engine's limits, and everything gives
// up no more torque than less effort does. The table names the best springs.
func testOutcome(t *testing.T, o *outcome) {
	rungs := o.ladder.Rungs
	if first := rungs[0]; len(first.Breaches) == 0 {
		t.Errorf("%v keeps the limits; the title of the figure says no", first.Effort)
	}
	const equal = 0.005 // of the torque: what [recipes.NewLadder] takes for no difference
	best := rungs[len(rungs)-1].Recipe.TorqueGivenUp
	for _, rung := range rungs[1:] {
		if rung.Recipe != nil && rung.Recipe.TorqueGivenUp < best-equal {
			t.Errorf("%v gives up %v, everything %v", rung.Effort, rung.Recipe.TorqueGivenUp, best)
		}
	}
	testLater(t, o)
	var text strings.Builder
	if err := o.print(&text); err != nil {
		t.Fatal(err)
	}
	for _, name := range o.result.Recipes[0].SpringNames {
		if !strings.Contains(text.String(), name) {
			t.Errorf("%q is not in the table:\n%s", name, text.String())
		}
	}
}

// Set later by what the table says, the recipe keeps the knock margin in 97.5 % of
// builds: the same builds, so but for the rounding of a quantile.
func testLater(t *testing.T, o *outcome) {
	margin := func(tol *recipes.Tolerance) *recipes.LimitProbability {
		i := slices.IndexFunc(tol.Limits, func(l recipes.LimitProbability) bool { return l.Limit == knockMargin })
		if i < 0 {
			t.Fatal("the knock margin is not among the limits")
		}
		return &tol.Limits[i]
	}
	best := &o.result.Recipes[0]
	later, _, err := o.problem.Evaluate(best.Choice, best.Static+margin(o.tolerance).Margin.Low, best.Travel)
	if err != nil {
		t.Fatal(err)
	}
	tol, err := o.problem.Tolerance(t.Context(), later, nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := margin(tol).Probability; !(math.Abs(got-0.975) <= 0.001) {
		t.Errorf("set later the knock margin is kept by %v of the builds, the table says 0.975", got)
	}
}
