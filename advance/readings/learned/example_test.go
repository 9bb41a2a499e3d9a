package learned_test

import (
	"context"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/advance/recipes"
)

// The search over the drawer works on learned parts as on listed ones.
func ExampleResult_ForSearch() {
	r, err := learned.Fit(context.Background(), twoRuns(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	kinds := []string{"soft", "stiff"}
	best, draws, err := r.ForSearch(kinds, []string{""}, 2)
	if err != nil {
		fmt.Println(err)
		return
	}
	// Wanted: 12 deg at 1000 rpm, 32 to 34 deg from 2800 rpm on.
	problem := recipes.Problem{
		Shares: best, ShareDraws: draws, Drive: advance.FourStroke,
		Positions: []recipes.Position{{Posts: []recipes.Post{{}}}, {Posts: []recipes.Post{{}}}},
		Drawer: recipes.Drawer{
			Springs: []recipes.SpringPart{{Name: kinds[0], Count: 2}, {Name: kinds[1], Count: 2}},
			Weights: []recipes.WeightPart{{Name: "as fitted"}},
		},
		Travel: recipes.Span{Low: 16, High: 26}, Static: recipes.Span{Low: 6, High: 16}, Idle: 800,
		Target: recipes.Target{Band: []recipes.BandPoint{
			{RPM: 1000, Low: 11, High: 13}, {RPM: 2000, Low: 20, High: 24}, {RPM: 2800, Low: 32, High: 34},
		}},
	}
	found, err := recipes.Search(context.Background(), &problem, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	first := found.Recipes[0]
	fmt.Printf("%v: static %.0f, travel %.0f deg crank\n", first.SpringNames, first.Static, first.Travel)
	// Output:
	// [soft stiff]: static 13, travel 20 deg crank
}
