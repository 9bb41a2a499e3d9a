package main

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/knock/airpath"
	"example.org/bobweight/vacuum"
)

// idle draws the idle vacuum with the hose on the manifold over the overlap of the
// camshaft, at both altitudes, and marks where idle is steady. A longer cam also
// burns worse at idle: the indicated efficiency is taken down with the overlap,
// a scenario of our own.
func idle() (*figure.Plot, error) {
	p := figure.New("Idle on manifold vacuum, 800 rpm: a long cam and thin air bring the unit onto its ramp",
		"valve overlap factor, deg/m", "idle vacuum, inHg")
	if err := ramp(p, 0.2, 2.4); err != nil {
		return nil, err
	}
	for i, altitude := range altitudes {
		line, steady, err := idleLine(altitude)
		if err != nil {
			return nil, err
		}
		if err := add(p, line, place(altitude), figure.Blue, i > 0); err != nil {
			return nil, err
		}
		marks, err := plotter.NewScatter(steady)
		if err != nil {
			return nil, err
		}
		marks.Color, marks.Radius = figure.Blue, vg.Points(3.5)
		p.Add(marks)
		if i == 0 {
			p.Legend.Add("steady with the hose on", marks)
		}
	}
	p.X.Tick.Marker = plot.ConstantTicks{{Value: 0.5, Label: "0.5"}, {Value: 1, Label: "1.0"}, {Value: 1.5, Label: "1.5"}, {Value: 2, Label: "2.0"}}
	p.Y.Min, p.Y.Max = 0, 25
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(6), -vg.Points(4)
	return p, nil
}

// idleLine is the idle vacuum over the overlap, and its points that are steady.
func idleLine(altitude float64) (line, steady plotter.XYs, err error) {
	d, err := distributor()
	if err != nil {
		return nil, nil, err
	}
	for of := 0.2; of <= 2.41; of += 0.1 {
		s, err := system(altitude)
		if err != nil {
			return nil, nil, err
		}
		s.Intake.OverlapFactor = of
		state, err := mapping.Idle(idling(d, s, of))
		if err != nil {
			return nil, nil, err
		}
		at := plotter.XY{X: of, Y: state.Vacuum / vacuum.InchOfMercury}
		line = append(line, at)
		if state.Steady {
			steady = append(steady, at)
		}
	}
	return line, steady, nil
}

// idling is the engine at 800 rpm with a camshaft of an overlap factor in deg/m.
func idling(d *advance.Distributor, s *vacuum.System, overlap float64) mapping.Idling {
	return mapping.Idling{
		Distributor: d, System: s, RPM: 800,
		Work: airpath.Load{Friction: 1.25e5, Efficiency: 0.29 - 0.055*overlap, Heat: 2.95e6},
		Drag: 15, MBT: 36,
	}
}
