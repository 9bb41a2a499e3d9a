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

// What the figures say: the old set-up keeps no engine's limits, a change more
// never costs torque, ideal springs give up less than the drawer, and the bound
// less than those. The table names the best springs.
func testOutcome(t *testing.T, o *outcome) {
	xy := cheapest(o.result.Front, 4)
	if xy[0].X == 0 {
		t.Error("the old set-up keeps the limits; the title of the figure says no")
	}
	for i := range xy[1:] {
		if xy[i+1].Y > xy[i].Y {
			t.Errorf("%v %% with %v parts changed, %v %% with one more", xy[i].Y, xy[i].X, xy[i+1].Y)
		}
	}
	best, ideal := o.result.Recipes[0].TorqueGivenUp, o.ideal.Recipe.TorqueGivenUp
	if !(o.bound <= ideal && ideal <= best+1e-6) {
		t.Errorf("bound %v, ideal %v, best %v are not in rising order", o.bound, ideal, best)
	}
	if b := o.ideal.Breaches; len(b) > 0 {
		t.Errorf("the ideal breaks %v", b)
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
