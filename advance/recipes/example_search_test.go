package recipes_test

import (
	"context"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// A drawer of four kinds of springs and two sets of weights, for an engine whose
// best and tolerated spark are known.
func ExampleSearch() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := recipes.Search(context.Background(), p, &recipes.Settings{Keep: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ways\n", found.Combinations)
	for _, r := range found.Recipes {
		fmt.Printf("%v with %s: static %.1f, total %.1f deg crank, all in at %.0f rpm crank, torque given up %.2f %%\n",
			r.SpringNames, p.Drawer.Weights[r.Weights].Name, r.Static, r.Total, r.AllIn, 100*r.TorqueGivenUp)
	}
	// Output:
	// 10000 ways
	// [soft middling] with heavy: static 16.0, total 33.7 deg crank, all in at 2525 rpm crank, torque given up 0.41 %
	// [soft soft] with heavy: static 14.0, total 31.3 deg crank, all in at 2203 rpm crank, torque given up 0.45 %
}

// distributor is a problem written out: two weights on pins, a spring place beside
// each, a drawer, an engine, and what is asked for. All of it is invented.
func distributor() (*recipes.Problem, error) {
	mbt, err := advance.NewCurve([]advance.Point{{RPM: 800, Degrees: 14}, {RPM: 1600, Degrees: 25}, {RPM: 2500, Degrees: 32}, {RPM: 3600, Degrees: 35}, {RPM: 5000, Degrees: 36}})
	if err != nil {
		return nil, err
	}
	knock, err := advance.NewCurve([]advance.Point{{RPM: 800, Degrees: 18}, {RPM: 1600, Degrees: 28}, {RPM: 2500, Degrees: 36}, {RPM: 5000, Degrees: 44}})
	if err != nil {
		return nil, err
	}
	// Lengths in m from the shaft: a place is a pin on a weight and a post on the plate.
	place := func(name string, weight int, side float64) recipes.Position {
		return recipes.Position{Name: name, Posts: []recipes.Post{{
			Name: "as made",
			A:    flyweights.Anchor{Body: flyweights.OnWeight(weight), Point: r2.Vec{X: side * 0.008, Y: side * 0.015}},
			B:    flyweights.Anchor{Point: r2.Vec{X: side * -0.010, Y: side * 0.006}},
		}}}
	}
	weights := func(name string, mass float64) recipes.WeightPart {
		pair := make([]flyweights.Weight, 2)
		for i, side := range []float64{1, -1} {
			pair[i] = flyweights.Weight{Mass: mass, Pivot: r2.Vec{X: side * 0.020}, Centre: r2.Vec{X: side * 0.014, Y: side * 0.013}, Clockwise: true}
		}
		return recipes.WeightPart{Name: name, Weights: pair, MassSigma: 0.01}
	}
	coil := func(name string, rate, free float64) recipes.SpringPart {
		return recipes.SpringPart{Name: name, Count: 2, RateSigma: 0.05, Spring: springs.Spring{Rate: rate, FreeLength: free, InitialTension: 0.2}}
	}
	return &recipes.Problem{
		Mechanism: flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.6}, Stop: 0.45, Drag: 2e-3},
		Drive:     advance.FourStroke,
		Positions: []recipes.Position{place("left", 0, 1), place("right", 1, -1)},
		Drawer: recipes.Drawer{
			Springs: []recipes.SpringPart{coil("soft", 700, 0.0180), coil("middling", 1100, 0.0178), coil("firm", 1700, 0.0176), coil("stiff", 2600, 0.0182)},
			Weights: []recipes.WeightPart{weights("light", 0.018), weights("heavy", 0.026)},
		},
		Slot:   flyweights.Slot{Length: 0.0115, Pin: 0.0055, Radius: 0.0265},
		Travel: recipes.Span{Low: 16, High: 25}, SlotStep: 1e-4, LeastClosing: 3e-4,
		Static:  recipes.Span{Low: 4, High: 16},
		Idle:    700,
		Present: &recipes.Choice{Springs: []int{1, 2}, Posts: []int{0, 0}, Weights: 1},
		Target:  recipes.Target{MBT: mbt},
		Limits: recipes.Limits{
			Knock: knock, KnockMargin: 2, StartMargin: 100, ReturnMargin: 50,
			AllIn: recipes.Window{Low: 1800, High: 3600},
		},
	}, nil
}
