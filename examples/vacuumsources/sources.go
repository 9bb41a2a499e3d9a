package main

import (
	"image/color"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/vacuum"
)

// sources draws the vacuum at the unit over the throttle's opening, at an idle
// speed, for both sources at both altitudes.
func sources() (*figure.Plot, error) {
	p := figure.New("Vacuum at the unit as the throttle opens, 900 rpm", "throttle opening beyond closed, degrees", "vacuum, inHg")
	if err := ramp(p, 0, 10); err != nil {
		return nil, err
	}
	for i, altitude := range altitudes {
		s, err := system(altitude)
		if err != nil {
			return nil, err
		}
		for _, source := range []vacuum.Source{vacuum.FromManifold, vacuum.FromPort} {
			s.Source = source
			var xys plotter.XYs
			for open := 0.0; open <= 10; open += 0.05 {
				a, err := s.Steady(s.Throttle.Closed+open*degree, 900)
				if err != nil {
					return nil, err
				}
				xys = append(xys, plotter.XY{X: open, Y: (s.Air.Pressure - a.Chamber) / vacuum.InchOfMercury})
			}
			colour := figure.Blue
			if source == vacuum.FromPort {
				colour = figure.Orange
			}
			if err := add(p, xys, source.String()+", "+place(altitude), colour, i > 0); err != nil {
				return nil, err
			}
		}
	}
	p.Y.Min, p.Y.Max = 0, 25
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(6), -vg.Points(4)
	return p, nil
}

// ramp shades the vacuums between the unit's onset and its full pull.
func ramp(p *figure.Plot, from, to float64) error {
	u := unit()
	lo, hi := u.Onset()/vacuum.InchOfMercury, u.Full()/vacuum.InchOfMercury
	band, err := plotter.NewPolygon(plotter.XYs{{X: from, Y: lo}, {X: to, Y: lo}, {X: to, Y: hi}, {X: from, Y: hi}})
	if err != nil {
		return err
	}
	band.Color = color.NRGBA{R: 0, G: 158, B: 115, A: 50}
	band.LineStyle.Width = 0
	p.Add(plotter.NewGrid(), band)
	p.Legend.Add("the unit's ramp: the spark follows the vacuum", band)
	return nil
}

// add draws a line with its legend, dashed if need be.
func add(p *figure.Plot, xys plotter.XYs, name string, colour color.Color, dashed bool) error {
	line, err := plotter.NewLine(xys)
	if err != nil {
		return err
	}
	line.Color, line.Width = colour, vg.Points(1.8)
	if dashed {
		line.Dashes = []vg.Length{vg.Points(6), vg.Points(4)}
	}
	p.Add(line)
	p.Legend.Add(name, line)
	return nil
}
