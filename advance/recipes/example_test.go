package recipes_test

import (
	"context"
	"errors"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/gonum/spatial/r2"
)

// What each effort buys, from turning the distributor only to everything.
func ExampleNewLadder() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	l, err := recipes.NewLadder(context.Background(), p, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, rung := range l.Rungs {
		r := rung.Recipe
		if r == nil {
			fmt.Printf("%v: nothing keeps the limits\n", rung.Effort)
			continue
		}
		fmt.Printf("%v: %v, static %.1f, close %.1f mm; torque given up %.1f %%, breaks %d limits", rung.Effort, r.SpringNames, r.Static, r.SlotClosing, 100*r.TorqueGivenUp, len(rung.Breaches))
		if i == l.Best {
			fmt.Print(": build this")
		}
		fmt.Println()
	}
	// Output:
	// turn the distributor only: [middling firm], static 4.0, close 0.0 mm; torque given up 5.9 %, breaks 1 limits
	// springs only: nothing keeps the limits
	// slot only: [middling firm], static 16.0, close 1.5 mm; torque given up 0.9 %, breaks 0 limits: build this
	// springs and slot: [soft firm], static 16.0, close 1.5 mm; torque given up 0.7 %, breaks 0 limits
	// everything: [soft firm], static 16.0, close 1.5 mm; torque given up 0.7 %, breaks 0 limits
}

// Whether a recipe would still be the first if a guess were otherwise: here, if the
// engine knocked five degrees earlier.
func ExampleProblem_Reconsider() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := recipes.Search(context.Background(), p, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	first, other := found.Recipes[0], *p
	points := p.Limits.Knock.Points()
	for i := range points {
		points[i].Degrees -= 5
	}
	if other.Limits.Knock, err = advance.NewCurve(points); err != nil {
		fmt.Println(err)
		return
	}
	best, stands, err := other.Reconsider(context.Background(), &first, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("stands:", stands)
	fmt.Printf("static %.1f instead of %.1f, travel %.1f instead of %.1f deg crank\n", best.Static, first.Static, best.Travel, first.Travel)
	// Output:
	// stands: false
	// static 11.0 instead of 16.0, travel 17.7 instead of 17.7 deg crank
}

// A recipe that somebody swears by is asked why the search does not name it.
func ExampleProblem_Evaluate() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	swornBy := recipes.Choice{Springs: []int{0, 0}, Posts: []int{0, 0}, Weights: 1}
	r, breaches, err := p.Evaluate(swornBy, 14, 24)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("total %.0f deg crank, idle reads %.1f deg crank\n", r.Total, r.Idle.Low)
	for _, b := range breaches {
		fmt.Println(b)
	}
	// Output:
	// total 38 deg crank, idle reads 14.0 deg crank
	// knock margin at 2443 rpm crank: -2.511 deg crank, allowed 2, off by 4.51
}

// What becomes of a recipe on the bench, and which part to measure first.
func ExampleProblem_Tolerance() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := recipes.Search(context.Background(), p, &recipes.Settings{Keep: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	t, err := p.Tolerance(context.Background(), &found.Recipes[0], nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("at %.0f rpm crank 95 %% of builds show %.0f to %.0f deg crank\n", t.RPM[2], t.Band[2].Low, t.Band[2].High)
	for _, o := range t.Limits {
		fmt.Printf("%s: kept by %.0f %%\n", o.Limit, 100*o.Probability)
	}
	fmt.Println("what matters most:", t.Main.Input)
	// Output:
	// at 2500 rpm crank 95 % of builds show 30 to 36 deg crank
	// start above idle, rising: kept by 100 %
	// return above idle, falling: kept by 100 %
	// all in not too early: kept by 100 %
	// all in not too late: kept by 100 %
	// knock margin: kept by 49 %
	// no snap: kept by 100 %
	// what matters most: light
}

// Where nothing in the drawer fits, the spring to buy is named.
func ExampleSearch_nothingFits() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	p.Drawer.Springs = p.Drawer.Springs[2:] // the light ones are gone
	p.Present, p.Limits.AllIn = nil, recipes.Window{Low: 1800, High: 2000}
	found, err := recipes.Search(context.Background(), p, nil)
	if !errors.Is(err, recipes.ErrNoRecipe) {
		fmt.Println(err)
		return
	}
	fmt.Println("nearest breaks:", found.Breaches[0])
	for _, s := range found.Missing.Springs {
		fmt.Printf("buy for %s: %.2f N/mm with %.1f N at %.1f mm\n", p.Positions[s.Position].Name, s.Rate/1e3, s.Tension, s.Length*1e3)
	}
	// Output:
	// nearest breaks: all-in speed: 3430 rpm crank, allowed 2000, off by 1.43e+03
	// buy for left: 0.55 N/mm with 0.5 N at 20.1 mm
	// buy for right: 0.56 N/mm with 0.3 N at 20.1 mm
}

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

// One recipe held against other limits than those it was found by: a fuel that knocks
// six degrees earlier, and three degrees to stay below it.
func ExampleProblem_Judge() {
	p, err := distributor()
	if err != nil {
		fmt.Println(err)
		return
	}
	found, err := recipes.Search(context.Background(), p, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	poor := p.Limits.Knock.Points()
	for i := range poor {
		poor[i].Degrees -= 6
	}
	limits := p.Limits
	limits.KnockMargin = 3
	if limits.Knock, err = advance.NewCurve(poor); err != nil {
		fmt.Println(err)
		return
	}
	breaches, err := p.Judge(&found.Recipes[0], &limits)
	for _, b := range breaches {
		fmt.Println(b)
	}
	fmt.Println(err)
	// Output:
	// knock margin at 800 rpm crank: -4 deg crank, allowed 3, off by 7
	// <nil>
}
