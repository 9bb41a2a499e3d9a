package main

import (
	"context"
	"fmt"
	"io"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/knock"
)

// engine is a scenario of our own: 1.6 litre, four cylinders, 8.5 to 1, on a fuel of
// 95 research octane.
func engine() (*knock.Model, error) {
	return knock.New(knock.NewEngine(4, 0.079, 0.0815, 0.140, 8.5, knock.Fuel{RON: 95, MON: 85}))
}

// against prints the map of the distributor beside what the engine wants and
// tolerates at part load, and what follows for a light cruise.
func against(out io.Writer) error {
	d, err := distributor()
	if err != nil {
		return err
	}
	m, err := mapping.New(nil, d, sea, []float64{1200, 2000, 2800, 3600}, []float64{35e3, 45e3, 60e3, 75e3, 98e3})
	if err != nil {
		return err
	}
	model, err := engine()
	if err != nil {
		return err
	}
	bounds := func(rpm, pressure float64) (mapping.Requirement, error) {
		w, err := model.SparkRequirement(knock.Condition{RPM: rpm, InletPressure: pressure, Ambient: sea.Pressure})
		return mapping.Requirement{MBT: w.MBT, KnockLimited: w.KnockLimited, KLSA: w.KLSA}, err
	}
	fmt.Fprintln(out, "total (best torque / trace knock), crank degrees; an uncalibrated engine model is good to several degrees")
	fmt.Fprintf(out, "%8s", "rpm")
	for _, p := range m.Pressure {
		fmt.Fprintf(out, "  %11.0f kPa", p/1e3)
	}
	fmt.Fprintln(out)
	for i, rpm := range m.RPM {
		fmt.Fprintf(out, "%8.0f", rpm)
		for j, p := range m.Pressure {
			b, err := bounds(rpm, p)
			if err != nil {
				return err
			}
			limit := "none"
			if b.KnockLimited {
				limit = fmt.Sprintf("%.0f", b.KLSA)
			}
			fmt.Fprintf(out, "  %15s", fmt.Sprintf("%.0f (%.0f/%s)", m.Rising[i*len(m.Pressure)+j], b.MBT, limit))
		}
		fmt.Fprintln(out)
	}
	c, err := m.Compare(context.Background(), bounds, 2)
	if err != nil {
		return err
	}
	if c.AnyLimited {
		fmt.Fprintf(out, "nearest to knock: %.0f rpm, %.0f kPa, %.1f deg of margin; %d of %d points have less than 2\n", c.Margin.RPM, c.Margin.Pressure/1e3, c.Degrees, c.Beyond, c.Points)
	}
	_, err = fmt.Fprintf(out, "furthest behind best torque: %.0f rpm, %.0f kPa, by %.1f deg\n", c.Late.RPM, c.Late.Pressure/1e3, c.Behind)
	return err
}
