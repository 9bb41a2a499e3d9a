package results_test

import (
	"fmt"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/results"
)

// The curves of a report as a table for a spreadsheet.
func ExampleTable() {
	present, rising := 9.5, 12.0
	text, err := results.Table(&job.Report{Curves: []job.CurveRow{
		{RPM: 800, Present: &present},
		{RPM: 1200, Present: &present, Rising: &rising},
	}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(string(text))
	// Output:
	// rpm,present_deg,rising_deg,falling_deg,low_deg,high_deg,mbt_deg,limit_deg,limit_low_deg,limit_high_deg
	// 800,9.50,,,,,,,,
	// 1200,9.50,12.00,,,,,,,
}
