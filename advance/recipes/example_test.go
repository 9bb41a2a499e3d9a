package recipes

import (
	"context"
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
			x.SpringNames(), p.Drawer.Weights[x.Weights].Name, x.Static, x.Total, x.AllIn, 100*x.TorqueGivenUp)
	}
	// Output:
	// 70200 ways
	// [coil 5 coil 2] with 18.0 g: static 13.0, total 31.0 deg crank, all in at 2235 rpm crank, torque given up 0.33 %
	// [coil 5 coil 10] with 30.0 g: static 14.0, total 34.0 deg crank, all in at 2773 rpm crank, torque given up 0.33 %
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
