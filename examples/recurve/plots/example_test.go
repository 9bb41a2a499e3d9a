package plots_test

import (
	"fmt"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/plots"
)

// A curve of one's own drawn in the look of the program.
func ExampleDraw() {
	degrees := []float64{8, 8, 20, 34, 34}
	r := &job.Report{Title: "lathe engine"}
	for i := range degrees {
		r.Curves = append(r.Curves, job.CurveRow{RPM: 1000 * float64(i), Rising: &degrees[i]})
	}
	picture, err := plots.Draw(r, "svg")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(strings.Contains(string(picture), ">new curve (thin: falling)<"))
	// Output:
	// true
}
