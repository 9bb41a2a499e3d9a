package recipes

import (
	"context"
	"errors"
	"fmt"
)

// A drawer of twelve kinds of springs and three sets of weights for an engine
// whose best and tolerated spark are known.
func ExampleSearch() {
	p := shop(12, 3)
	r, err := Search(context.Background(), p, &Settings{Keep: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f ways\n", r.Combinations)
	for _, x := range r.Recipes {
		fmt.Printf("%v with %s: static %.1f, total %.1f deg crank, all in at %.0f rpm crank, torque given up %.2f %%\n",
			x.SpringNames, p.Drawer.Weights[x.Weights].Name, x.Static, x.Total, x.AllIn, 100*x.TorqueGivenUp)
	}
	// Output:
	// 52650 ways
	// [coil 5 coil 10] with 30.0 g: static 13.5, total 31.5 deg crank, all in at 2653 rpm crank, torque given up 0.55 %
	// [coil 5 coil 10] with 24.0 g: static 14.0, total 34.0 deg crank, all in at 3100 rpm crank, torque given up 0.63 %
}

// The trade's own words become a target and limits.
func ExampleWords() {
	w := Words{Total: 34, Tolerance: 1, AllIn: Window{2400, 3000}, Idle: Window{10, 14}, StartMargin: 150}
	target, limits, err := w.Wants(800)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(target.Band)
	fmt.Println(limits.AllIn, limits.Total)
	// Output:
	// [{800 10 14} {3000 33 35} {4500 33 35}]
	// {2400 3000} {33 35}
}

// A recipe that somebody swears by is asked why the search does not name it.
func ExampleProblem_Evaluate() {
	p := shop(12, 3)
	swornBy := Choice{Springs: []int{0, 1}, Posts: []int{0, 0}, Weights: 2}
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
	// all-in speed: 1756 rpm crank, allowed 1800, off by 44.2
	// knock margin at 1756 rpm crank: -11.44 deg crank, allowed 2, off by 13.4
}

// What becomes of a recipe on the bench, and which part to put on the scale.
func ExampleProblem_Tolerance() {
	p := shop(12, 3)
	found, err := Search(context.Background(), p, &Settings{Keep: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	t, err := p.Tolerance(context.Background(), &found.Recipes[0], nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	b := t.Band[3]
	fmt.Printf("at %.0f rpm crank 95 %% of builds show %.0f to %.0f deg crank\n", b.RPM, b.Low, b.High)
	for _, o := range t.Limits {
		fmt.Printf("%s: kept by %.0f %%\n", o.Limit, 100*o.Probability)
	}
	fmt.Println("what matters most:", t.Main.Input)
	// Output:
	// at 2000 rpm crank 95 % of builds show 20 to 25 deg crank
	// start above idle, rising: kept by 100 %
	// return above idle, falling: kept by 100 %
	// all in not too early: kept by 100 %
	// all in not too late: kept by 100 %
	// knock margin: kept by 63 %
	// no snap: kept by 100 %
	// what matters most: light
}

// Where nothing in the drawer fits, the spring to buy is named.
func ExampleSearch_nothingFits() {
	p := shop(4, 1)
	p.Drawer.Springs = p.Drawer.Springs[2:] // the light ones are gone
	p.Limits.AllIn, p.Limits.StartMargin = Window{3200, 3500}, 500
	r, err := Search(context.Background(), p, nil)
	if !errors.Is(err, ErrNoRecipe) {
		fmt.Println(err)
		return
	}
	fmt.Println("nearest breaks:", r.Breaches[0])
	s := r.Missing.Springs[0]
	fmt.Printf("buy for %s: %.2f N/mm with %.1f N at %.1f mm\n", p.Positions[s.Position].Name, s.Rate/1e3, s.Tension, s.Length*1e3)
	// Output:
	// nearest breaks: all-in speed: 3981 rpm crank, allowed 3500, off by 481
	// buy for left: 1.01 N/mm with 2.0 N at 25.8 mm
}
