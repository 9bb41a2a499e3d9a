package main

import (
	"fmt"
	"image/color"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
)

var colours = []color.NRGBA{figure.Blue, figure.Orange, figure.Green}

// glyphs keep the engines apart where colours are not seen.
var glyphs = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.TriangleGlyph{}}

func figures(all []outcome) ([]figure.Figure, error) {
	efforts, err := effortsPlot(all)
	if err != nil {
		return nil, err
	}
	drawn := []figure.Figure{{Name: "efforts", Plot: efforts}}
	for i := range all {
		fan, err := fanPlot(&all[i])
		if err != nil {
			return nil, err
		}
		drawn = append(drawn, figure.Figure{Name: "fan-" + strings.ReplaceAll(all[i].engine.name, " ", "-"), Plot: fan})
	}
	return drawn, nil
}

// line adds a line to a plot, and to its legend where it has a name.
func line(p *figure.Plot, name string, xy plotter.XYs, c color.Color, width float64, dash []vg.Length) error {
	l, err := plotter.NewLine(xy)
	if err != nil {
		return err
	}
	l.Color, l.Width, l.Dashes = c, vg.Points(width), dash
	p.Add(l)
	if name != "" {
		p.Legend.Add(name, l)
	}
	return nil
}

// effortsPlot draws what each effort buys, for all engines, where it keeps the limits.
func effortsPlot(all []outcome) (*figure.Plot, error) {
	p := figure.New("What each effort buys: one drawer, three engines, none of which can keep the old set-up", "what is changed beside the static timing", "torque given up, %")
	p.Add(plotter.NewGrid())
	var ticks plot.ConstantTicks
	for i, rung := range all[0].ladder.Rungs {
		ticks = append(ticks, plot.Tick{Value: float64(i), Label: rung.Effort.String()})
	}
	for i := range all {
		var xy plotter.XYs
		for k, rung := range all[i].ladder.Rungs {
			if rung.Recipe != nil && len(rung.Breaches) == 0 {
				xy = append(xy, plotter.XY{X: float64(k), Y: 100 * rung.Recipe.TorqueGivenUp})
			}
		}
		dots, err := plotter.NewScatter(xy)
		if err != nil {
			return nil, err
		}
		dots.Shape, dots.Color, dots.Radius = glyphs[i], colours[i], vg.Points(4.5)
		p.Add(dots)
		p.Legend.Add(all[i].engine.name, dots)
	}
	p.X.Tick.Marker = ticks
	p.X.Min, p.X.Max, p.Y.Min = -0.4, float64(len(ticks))-0.6, 0
	p.Y.Max *= 1.08 // no mark is cut by the frame
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(8), -vg.Points(6)
	return p, nil
}

// fanPlot draws the best curves of one engine between what it wants and what it
// tolerates, and the band that builds of the best one keep.
func fanPlot(o *outcome) (*figure.Plot, error) {
	p := figure.New(fmt.Sprintf("%s: the twelve best of %.1f million ways", o.engine.name, o.result.Combinations/1e6), "engine speed, rpm crank", "spark, deg crank BTDC")
	p.Add(plotter.NewGrid())
	var low, high plotter.XYs
	for i, b := range o.tolerance.Band {
		rpm := o.tolerance.RPM[i]
		low = append(low, plotter.XY{X: rpm, Y: b.Low})
		high = append(plotter.XYs{{X: rpm, Y: b.High}}, high...)
	}
	band, err := plotter.NewPolygon(append(low, high...))
	if err != nil {
		return nil, err
	}
	band.Color, band.LineStyle.Width = figure.Window, 0
	p.Add(band)
	p.Legend.Add("95 % of builds", band)
	for i := len(o.result.Recipes) - 1; i >= 0; i-- {
		name, c, width := "", color.NRGBA{R: 150, G: 150, B: 150, A: 255}, 0.75
		switch i {
		case 0:
			name, c, width = "best recipe", figure.NewCurve.Color, figure.NewCurve.Width
		case 1:
			name = "the next best"
		}
		xy, err := curve(&o.result.Recipes[i])
		if err != nil {
			return nil, err
		}
		if err := line(p, name, xy, c, width, nil); err != nil {
			return nil, err
		}
	}
	for _, l := range []struct {
		name    string
		degrees []float64
		style   figure.Style
	}{
		{"best torque", o.engine.mbt, figure.BestTorque},
		{"knock limit", o.engine.knock, figure.KnockLimit},
	} {
		var xy plotter.XYs
		for i, d := range l.degrees {
			xy = append(xy, plotter.XY{X: speeds[i], Y: d})
		}
		if err := l.style.Curve(p, l.name, xy); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{500, 5000, 500}, [3]float64{0, 50, 5})
	p.Legend.Left, p.Legend.Top = true, true
	p.Legend.XOffs, p.Legend.YOffs = vg.Points(8), -vg.Points(6)
	return p, nil
}

// curve reads a recipe over the whole range, rising.
func curve(r *recipes.Recipe) (plotter.XYs, error) {
	var xy plotter.XYs
	for rpm := 500.0; rpm <= 5000; rpm += 20 {
		s, err := r.At(rpm, flyweights.Rising)
		if err != nil {
			return nil, err
		}
		xy = append(xy, plotter.XY{X: rpm, Y: s})
	}
	return xy, nil
}
