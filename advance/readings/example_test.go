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
		{RPM: 800, Degrees: 14.5}, {RPM: 1000, Degrees: 17}, {RPM: 1250, Degrees: 20},
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

// A spring is changed between two runs and the distributor is not touched: the
// static timing that the strong springs show holds for the light ones.
func ExampleDiagnose() {
	r, err := readings.Fit(context.Background(), []readings.Reading{
		{RPM: 500, Degrees: 8}, {RPM: 650, Degrees: 8}, {RPM: 800, Degrees: 8}, {RPM: 950, Degrees: 8}, {RPM: 1100, Degrees: 8},
		{RPM: 1500, Degrees: 14}, {RPM: 1900, Degrees: 21}, {RPM: 2300, Degrees: 30}, {RPM: 2700, Degrees: 38},
		{RPM: 3200, Degrees: 38}, {RPM: 3700, Degrees: 38},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range readings.Diagnose(r, readings.Wanted{Static: 12, Total: 34, SlotRadius: 0.017}) {
		fmt.Printf("%s: %s, %.0f %s\n", f.Severity, f.Code, f.Size, f.Unit)
	}
	// Output:
	// act: total-over, 4 deg crank
	// act: travel-over, 8 deg crank
}

// The distributor is retarded by four degrees: what must the light show then?
func ExampleResult_Expect() {
	before, err := readings.Fit(context.Background(), []readings.Reading{
		{RPM: 500, Degrees: 8}, {RPM: 650, Degrees: 8}, {RPM: 800, Degrees: 8}, {RPM: 950, Degrees: 8}, {RPM: 1100, Degrees: 8},
		{RPM: 1500, Degrees: 14}, {RPM: 1900, Degrees: 21}, {RPM: 2300, Degrees: 30}, {RPM: 2700, Degrees: 38},
		{RPM: 3200, Degrees: 38}, {RPM: 3700, Degrees: 38},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	list, err := before.Expect(readings.Change{Turn: -4}, []float64{800, 3500})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, x := range list {
		fmt.Printf("at %.0f rpm %.0f deg crank\n", x.RPM, x.Curve.Value)
	}
	// Output:
	// at 800 rpm 4 deg crank
	// at 3500 rpm 34 deg crank
}
