package readings_test

import (
	"context"
	"fmt"

	"example.org/bobweight/advance"
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

// The distributor was retarded by four degrees; do the new readings say so?
func ExampleResult_Judge() {
	before, err := readings.Fit(context.Background(), []readings.Reading{
		{RPM: 500, Degrees: 8}, {RPM: 650, Degrees: 8}, {RPM: 800, Degrees: 8}, {RPM: 950, Degrees: 8}, {RPM: 1100, Degrees: 8},
		{RPM: 1500, Degrees: 14}, {RPM: 1900, Degrees: 21}, {RPM: 2300, Degrees: 30}, {RPM: 2700, Degrees: 38},
		{RPM: 3200, Degrees: 38}, {RPM: 3700, Degrees: 38},
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	v, err := before.Judge(readings.Change{Turn: -4}, []readings.Reading{
		{RPM: 700, Degrees: 4}, {RPM: 1500, Degrees: 10.5}, {RPM: 2300, Degrees: 25.5}, {RPM: 3200, Degrees: 34},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v.Text)
	// Output:
	// 4 of 4 readings lie where they should after the change: the change did what it should.
}

// A machine turns the distributor alone: 500 rpm and 6 degrees of its shaft are
// 1,000 rpm and 12 degrees of the crankshaft.
func ExampleBench() {
	r, err := readings.Bench(advance.FourStroke, 500, 6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f rpm crank, %.0f deg crank\n", r.RPM, r.Degrees)
	// Output:
	// 1000 rpm crank, 12 deg crank
}
