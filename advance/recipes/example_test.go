package recipes_test

import (
	"context"
	"errors"
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/recipes"
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
