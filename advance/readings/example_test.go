package readings_test

import (
	"context"
	"fmt"

	"example.org/bobweight/advance/readings"
)

// Light springs: the advance has already begun at idle, so that no reading shows
// the static timing.
func ExampleFit() {
	r, err := readings.Fit(context.Background(), []readings.Reading{
		{RPM: 800, Degrees: 14}, {RPM: 1000, Degrees: 17}, {RPM: 1250, Degrees: 20},
		{RPM: 1500, Degrees: 24}, {RPM: 1750, Degrees: 27}, {RPM: 2000, Degrees: 31},
		{RPM: 2250, Degrees: 34}, {RPM: 2500, Degrees: 36}, {RPM: 3000, Degrees: 36},
		{RPM: 3500, Degrees: 36},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Model)
	fmt.Println("static timing:", r.Static.Text(0, "deg crank"))
	fmt.Println("total:", r.Total.Text(0, "deg crank"))
	// Output:
	// one slope, start not seen, all-in seen
	// static timing: at most 16 deg crank (95 % sure)
	// total: 36 deg crank (95 % interval 35 to 37)
}
