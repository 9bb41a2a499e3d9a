package figure

import (
	"image/color"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

// Line adds a line to a plot, and its name, unless empty, to the legend.
func Line(p *Plot, name string, xys plotter.XYs, colour color.Color, dashes ...vg.Length) error {
	l, err := plotter.NewLine(xys)
	if err != nil {
		return err
	}
	l.Color, l.Width, l.Dashes = colour, vg.Points(2), dashes
	p.Add(l)
	if name != "" {
		p.Legend.Add(name, l)
	}
	return nil
}

// Even returns ticks from lo to hi, step apart.
func Even(lo, hi, step float64) plot.ConstantTicks {
	var ts plot.ConstantTicks
	for i := 0; lo+float64(i)*step <= hi+step/1000; i++ {
		v := lo + float64(i)*step
		ts = append(ts, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'g', 6, 64)})
	}
	return ts
}

// Frame sets the range of both axes and their ticks, step apart.
func Frame(p *Plot, x, y [3]float64) {
	p.X.Min, p.X.Max, p.X.Tick.Marker = x[0], x[1], Even(x[0], x[1], x[2])
	p.Y.Min, p.Y.Max, p.Y.Tick.Marker = y[0], y[1], Even(y[0], y[1], y[2])
}
