package main

import (
	"context"
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/vacuum"
)

// limit is an assumed knock limit: none below 70 kPa, then straight down to 33
// degrees at full load. A real one is measured or comes from package knock.
func limit(_, pressure float64) (mapping.Requirement, error) {
	return mapping.Requirement{MBT: 40, KnockLimited: pressure > 70e3, KLSA: 33 + 0.6*(101.325-pressure/1e3)}, nil
}

// tipIn draws the spark after the throttle is snapped open at 2200 rpm, for three
// drillings in the hose, with the assumed knock limit.
func tipIn() (*figure.Plot, error) {
	p := figure.New("Throttle snapped open at 2200 rpm: the finer the drilling, the later the spark comes back",
		"time, s", "spark, crank degrees before top centre")
	p.Add(plotter.NewGrid())
	d, err := distributor()
	if err != nil {
		return nil, err
	}
	var bound plotter.XYs
	for i, bore := range []float64{1.0, 0.5, 0.3} {
		s, err := system(0)
		if err != nil {
			return nil, err
		}
		s.Hose.Restriction = 0.7 * math.Pi / 4 * bore * bore * 1e-6
		c, err := mapping.TipInTransient(context.Background(), mapping.TipIn{
			Distributor: d, System: s,
			Inputs: []vacuum.Input{
				{Time: 0, Throttle: 15 * degree, RPM: 2200}, {Time: 0.2, Throttle: 15 * degree, RPM: 2200},
				{Time: 0.3, Throttle: 85 * degree, RPM: 2200}, {Time: 4, Throttle: 85 * degree, RPM: 2200},
			},
			Requirements: limit, Settings: &vacuum.RunSettings{Every: 2e-3},
		})
		if err != nil {
			return nil, err
		}
		var spark plotter.XYs
		bound = bound[:0]
		for _, a := range c.Instants {
			spark = append(spark, plotter.XY{X: a.Time, Y: a.Spark})
			if a.Requirement.KnockLimited {
				bound = append(bound, plotter.XY{X: a.Time, Y: a.Requirement.KLSA})
			}
		}
		name := fmt.Sprintf("drilling %.1f mm: back after %.2f s, beyond the limit for %.2f s", bore, c.Back, c.Over)
		if err := add(p, spark, name, sparkColours[i], false); err != nil {
			return nil, err
		}
	}
	if err := add(p, bound, "knock limit, assumed", figure.Grey, true); err != nil {
		return nil, err
	}
	p.Y.Min, p.Y.Max = 20, 60
	p.X.Max = 1.4
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(6), -vg.Points(4)
	return p, nil
}

var sparkColours = [...]color.Color{figure.Green, figure.Blue, figure.Orange}
