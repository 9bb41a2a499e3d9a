package main

import (
	"fmt"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/vacuum"
)

// loadColours tell the loads apart, lightest first.
var loadColours = [...]color.Color{figure.Blue, figure.Green, figure.Orange}

// slicesOf draws the total over speed at three loads, rising in thick lines and
// falling in thin ones.
func slicesOf(m *mapping.Map) (*figure.Plot, error) {
	p := figure.New("Slices of the map: rising (thick) and falling (thin), dry friction in weights and plate",
		"engine speed, rpm", "total advance, crank degrees before top centre")
	p.Add(plotter.NewGrid())
	p.Legend.Top, p.Legend.Left = true, true
	p.Legend.XOffs, p.Legend.YOffs = vg.Points(8), -vg.Points(4)
	p.Y.Tick.Marker = plot.ConstantTicks{{Value: 0, Label: "0"}, {Value: 10, Label: "10"}, {Value: 20, Label: "20"}, {Value: 30, Label: "30"}, {Value: 40, Label: "40"}, {Value: 50, Label: "50"}, {Value: 60, Label: "60"}}
	rows := len(m.Pressure)
	for i, kPa := range []float64{40, 68, 100} {
		row := 0
		for r := range m.Pressure {
			if m.Pressure[r] <= kPa*1e3+1 {
				row = r
			}
		}
		colour := loadColours[i]
		for k, sweep := range [][]float64{m.Rising, m.Falling} {
			xys := make(plotter.XYs, len(m.RPM))
			for c := range m.RPM {
				xys[c] = plotter.XY{X: m.RPM[c], Y: sweep[c*rows+row]}
			}
			line, err := plotter.NewLine(xys)
			if err != nil {
				return nil, err
			}
			line.Color, line.Width = colour, vg.Points(figure.NewCurve.Width)
			p.Add(line)
			if k == 0 {
				p.Legend.Add(fmt.Sprintf("%.0f kPa, %.1f inHg of vacuum", m.Pressure[row]/1e3, (sea.Pressure-m.Pressure[row])/vacuum.InchOfMercury), line)
			} else {
				line.Width = vg.Points(figure.Falling.Width)
				p.Legend.Name(fmt.Sprintf("%.0f kPa, falling", m.Pressure[row]/1e3), line)
			}
		}
	}
	p.Y.Min, p.Y.Max = 0, 60
	return p, nil
}
