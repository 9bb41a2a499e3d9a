package learned_test

import (
	"context"
	"errors"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
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

// One spring of each kind was never fitted together, and yet its curve is known.
func ExampleFit() {
	r, err := learned.Fit(context.Background(), twoRuns(), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	mixed := learned.Combination{Springs: []string{"soft", "stiff"}}
	p, err := r.Predict(mixed)
	if err != nil {
		fmt.Println(err)
		return
	}
	e, err := p.Advance(2500)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.0f deg of advance at 2500 rpm, give or take %.0f\n", mixed, e.Value, (e.High-e.Low)/2)

	_, err = r.Predict(learned.Combination{Springs: []string{"soft", "stiff"}, Weights: "heavy"})
	fmt.Println(errors.Is(err, learned.ErrUndetermined))
	fmt.Println(err)
	// Output:
	// soft + stiff: 16 deg of advance at 2500 rpm, give or take 1
	// true
	// learned: not determined by the runs: The runs do not determine soft + stiff, weights heavy. Take a run with soft + soft, weights heavy, or with stiff + stiff, weights heavy.
}

// Two runs with pairs of springs "soft" and "stiff": crank degrees and engine rpm,
// rising, hose off.
func twoRuns() []learned.Run {
	pair := func(s string) learned.Combination { return learned.Combination{Springs: []string{s, s}} }
	return []learned.Run{
		{Combination: pair("soft"), Readings: []readings.Reading{
			{RPM: 790, Degrees: 9}, {RPM: 950, Degrees: 11}, {RPM: 1290, Degrees: 10.5}, {RPM: 1620, Degrees: 16.5},
			{RPM: 1850, Degrees: 19}, {RPM: 2130, Degrees: 26.5}, {RPM: 2430, Degrees: 33.5}, {RPM: 2780, Degrees: 36.5},
			{RPM: 3030, Degrees: 36.5}, {RPM: 3360, Degrees: 36}, {RPM: 3760, Degrees: 38}, {RPM: 3970, Degrees: 37},
		}},
		{Combination: pair("stiff"), Readings: []readings.Reading{
			{RPM: 780, Degrees: 9.5}, {RPM: 930, Degrees: 10}, {RPM: 1330, Degrees: 10.5}, {RPM: 1560, Degrees: 9},
			{RPM: 1860, Degrees: 13}, {RPM: 2210, Degrees: 17.5}, {RPM: 2420, Degrees: 19.5}, {RPM: 2770, Degrees: 26.5},
			{RPM: 3110, Degrees: 30}, {RPM: 3490, Degrees: 37.5}, {RPM: 3780, Degrees: 37.5}, {RPM: 3980, Degrees: 38.5},
		}},
	}
}
