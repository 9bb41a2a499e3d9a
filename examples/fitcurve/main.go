// Fitcurve turns two sets of timing light readings into curves with their bands,
// beside the curve wanted, and says what they show.
//
//	go run ./examples/fitcurve -out DIR
//
// The first distributor has springs that hold until well above idle: static
// timing, start, all-in and total are all known on both sides, and one reading was
// an outlier. The second has light springs, with which the advance has begun at
// idle: no reading shows the static timing, so below the lowest reading the plot
// has a limit and no curve.
//
// The readings are a scenario of our own. Timing is set on a running engine: mind
// fan, belts and hot parts, and keep to the exhaust law of the place. Too much
// advance under load can destroy an engine before it is heard.
package main

import (
	"context"
	"fmt"
	"io"
	"os"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/examples/internal/figure"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

// run tells what the readings show and draws them.
func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		cars, err := cars()
		if err != nil {
			return nil, err
		}
		var all []figure.Figure
		for _, c := range cars {
			if err := c.tell(out); err != nil {
				return nil, err
			}
			f, err := c.draw()
			if err != nil {
				return nil, err
			}
			all = append(all, f)
		}
		return all, nil
	})
}

// car is one set of readings, what was wanted, and what was found.
type car struct {
	name, title string
	readings    []readings.Reading
	wanted      readings.Wanted
	curve       advance.Curve // wanted
	result      *readings.Result
}

// cars are the scenarios, fitted.
func cars() ([]*car, error) {
	wanted := readings.Wanted{Idle: 850, Static: 12, Total: 34, AllIn: 2800, SlotRadius: 0.017, SetAtIdle: 12}
	curve, err := advance.NewCurve([]advance.Point{
		{RPM: 400, Degrees: 12}, {RPM: 1000, Degrees: 12}, {RPM: 2800, Degrees: 34}, {RPM: 4400, Degrees: 34},
	})
	if err != nil {
		return nil, err
	}
	all := []*car{
		{
			name: "start-seen", title: "Springs that hold above idle, one outlier",
			readings: []readings.Reading{
				{RPM: 500, Degrees: 7.5}, {RPM: 620, Degrees: 8.5}, {RPM: 790, Degrees: 8}, {RPM: 910, Degrees: 7.5}, {RPM: 1090, Degrees: 8},
				{RPM: 1310, Degrees: 11}, {RPM: 1580, Degrees: 15}, {RPM: 1890, Degrees: 19.5}, {RPM: 2240, Degrees: 16},
				{RPM: 2560, Degrees: 33}, {RPM: 2830, Degrees: 37.5}, {RPM: 3120, Degrees: 38}, {RPM: 3620, Degrees: 39}, {RPM: 4120, Degrees: 38},
			},
		},
		{
			name: "begun-at-idle", title: "Light springs: begun at idle",
			readings: []readings.Reading{
				{RPM: 810, Degrees: 14}, {RPM: 990, Degrees: 17.5}, {RPM: 1240, Degrees: 21}, {RPM: 1510, Degrees: 25},
				{RPM: 1760, Degrees: 28.5}, {RPM: 2010, Degrees: 33}, {RPM: 2260, Degrees: 37.5}, {RPM: 2490, Degrees: 40},
				{RPM: 3010, Degrees: 40.5}, {RPM: 3520, Degrees: 40},
			},
		},
	}
	for _, c := range all {
		c.wanted, c.curve = wanted, curve
		if c.result, err = readings.Fit(context.Background(), c.readings, nil); err != nil {
			return nil, fmt.Errorf("%s: %w", c.name, err)
		}
	}
	return all, nil
}

// tell writes the fit, the findings and the next reading to take.
func (c *car) tell(w io.Writer) error {
	r := c.result
	fmt.Fprintf(w, "%s\n", c.title)
	fmt.Fprintf(w, "  static timing: %s\n", r.Static.Text(1, "deg crank"))
	fmt.Fprintf(w, "  start:         %s\n", r.Start.Text(0, "rpm crank"))
	fmt.Fprintf(w, "  all-in:        %s\n", r.AllIn.Text(0, "rpm crank"))
	fmt.Fprintf(w, "  travel:        %s\n", r.Travel.Text(1, "deg crank"))
	fmt.Fprintf(w, "  total:         %s\n", r.Total.Text(1, "deg crank"))
	for _, row := range r.Criteria {
		mark := " "
		if row.Chosen {
			mark = "*"
		}
		fmt.Fprintf(w, "  %s %-42s probability %.2f\n", mark, row.Model, row.Probability)
	}
	for _, f := range readings.Diagnose(r, c.wanted) {
		fmt.Fprintf(w, "  %-5s %s\n", f.Severity, f.Text)
	}
	advice, err := r.Next(context.Background())
	if err != nil {
		return err
	}
	if len(advice) > 0 {
		fmt.Fprintf(w, "  next  %s\n", advice[0].Text)
	}
	return nil
}
