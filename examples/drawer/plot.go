package main

import (
	"fmt"
	"image/color"
	"math"
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

// dashes keep the engines apart where colours are not seen.
var dashes = [][]vg.Length{nil, {vg.Points(7), vg.Points(3)}, {vg.Points(2), vg.Points(2)}}

// glyphs tell how many parts a recipe changes.
var glyphs = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.TriangleGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}}

func figures(all []outcome) ([]figure.Figure, error) {
	changes, err := changesPlot(all)
	if err != nil {
		return nil, err
	}
	tradeoff, err := tradeoffPlot(&all[0])
	if err != nil {
		return nil, err
	}
	drawn := []figure.Figure{{Name: "changes", Plot: changes}, {Name: "tradeoff", Plot: tradeoff}}
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
func line(p *plot.Plot, name string, xy plotter.XYs, c color.Color, width float64, dash []vg.Length) error {
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

// cheapest returns the least torque given up for each number of parts changed
// at the most, in per cent.
func cheapest(front []recipes.Recipe, most int) plotter.XYs {
	var xy plotter.XYs
	least := math.Inf(1)
	for n := range most + 1 {
		for i := range front {
			if front[i].Changed <= n {
				least = min(least, 100*front[i].TorqueGivenUp)
			}
		}
		if !math.IsInf(least, 1) {
			xy = append(xy, plotter.XY{X: float64(n), Y: least})
		}
	}
	return xy
}

// changesPlot draws what each changed part buys, for all engines, and at the
// right end what a better drawer could give.
func changesPlot(all []outcome) (*plot.Plot, error) {
	const most = 4 // two springs, the weights, the slot
	p := figure.New("What each changed part buys: one drawer, three engines, none of which can keep the old set-up", "parts changed at the most (springs, weights, slot)", "torque given up, %")
	p.Add(plotter.NewGrid())
	for i := range all {
		xy := cheapest(all[i].result.Front, most)
		if err := line(p, all[i].engine.name, xy, colours[i], 2, dashes[i]); err != nil {
			return nil, err
		}
		dots, err := plotter.NewScatter(xy)
		if err != nil {
			return nil, err
		}
		dots.Shape, dots.Color, dots.Radius = draw.CircleGlyph{}, colours[i], vg.Points(3.5)
		p.Add(dots)
		for _, better := range []struct {
			x, y  float64
			shape draw.GlyphDrawer
			name  string
		}{
			{most + 0.5, 100 * all[i].ideal.Recipe.TorqueGivenUp, draw.TriangleGlyph{}, "with ideal springs"},
			{most + 1, 100 * all[i].bound, draw.CrossGlyph{}, "no spring can beat"},
		} {
			s, err := plotter.NewScatter(plotter.XYs{{X: better.x, Y: better.y}})
			if err != nil {
				return nil, err
			}
			s.Shape, s.Color, s.Radius = better.shape, colours[i], vg.Points(4.5)
			p.Add(s)
			if i == len(all)-1 { // in a colour of no engine
				mark := *s
				mark.Color = figure.Grey
				p.Legend.Add(better.name, &mark)
			}
		}
	}
	var ticks plot.ConstantTicks
	for n := 1; n <= most; n++ {
		ticks = append(ticks, plot.Tick{Value: float64(n), Label: fmt.Sprint(n)})
	}
	p.X.Tick.Marker = append(ticks, plot.Tick{Value: most + 0.5, Label: "ideal"}, plot.Tick{Value: most + 1, Label: "bound"})
	p.X.Min, p.X.Max, p.Y.Min = 0.8, most+1.2, 0 // as it is, the old set-up breaks every engine's limits
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(8), -vg.Points(6)
	return p, nil
}

// tradeoffPlot draws the front of one engine: torque against keeping to the old
// curve, by parts changed.
func tradeoffPlot(o *outcome) (*plot.Plot, error) {
	p := figure.New(fmt.Sprintf("%s: torque against keeping to the old curve", o.engine.name),
		"largest distance outside the old curve's band, deg crank", "torque given up, %")
	p.Add(plotter.NewGrid())
	shades := []color.NRGBA{figure.Grey, figure.Purple, figure.Green, figure.Orange, figure.Blue}
	for n := range shades {
		var xy plotter.XYs
		for i := range o.result.Front {
			if r := &o.result.Front[i]; r.Changed == n {
				xy = append(xy, plotter.XY{X: r.Deviation, Y: 100 * r.TorqueGivenUp})
			}
		}
		if len(xy) == 0 {
			continue
		}
		s, err := plotter.NewScatter(xy)
		if err != nil {
			return nil, err
		}
		s.Shape, s.Color, s.Radius = glyphs[n], shades[n], vg.Points(3)
		p.Add(s)
		p.Legend.Add(fmt.Sprintf("parts changed: %d", n), s)
	}
	figure.Frame(p, [3]float64{0, 8, 1}, [3]float64{0, 4, 0.5})
	p.X.Min = -0.1 // room for those that keep it
	p.Legend.Top = true
	p.Legend.XOffs, p.Legend.YOffs = -vg.Points(8), -vg.Points(6)
	return p, nil
}

// fanPlot draws the best curves of one engine between what it wants and what it
// tolerates, and the band that builds of the best one keep.
func fanPlot(o *outcome) (*plot.Plot, error) {
	p := figure.New(fmt.Sprintf("%s: the twelve best of %.1f million ways", o.engine.name, o.result.Combinations/1e6), "engine speed, rpm crank", "spark, deg crank BTDC")
	p.Add(plotter.NewGrid())
	var low, high plotter.XYs
	for _, b := range o.tolerance.Band {
		low = append(low, plotter.XY{X: b.RPM, Y: b.Low})
		high = append(plotter.XYs{{X: b.RPM, Y: b.High}}, high...)
	}
	band, err := plotter.NewPolygon(append(low, high...))
	if err != nil {
		return nil, err
	}
	band.Color, band.LineStyle.Width = color.NRGBA{R: 0, G: 114, B: 178, A: 50}, 0
	p.Add(band)
	p.Legend.Add("95 % of builds", band)
	for i := len(o.result.Recipes) - 1; i >= 0; i-- {
		name, c, width := "", color.NRGBA{R: 150, G: 150, B: 150, A: 255}, 0.75
		switch i {
		case 0:
			name, c, width = "best recipe", figure.Blue, 2.5
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
		colour  color.NRGBA
		dash    []vg.Length
	}{
		{"best torque", o.engine.mbt, figure.Green, dashes[1]},
		{"knock limit", o.engine.knock, figure.Orange, dashes[2]},
	} {
		var xy plotter.XYs
		for i, d := range l.degrees {
			xy = append(xy, plotter.XY{X: speeds[i], Y: d})
		}
		if err := line(p, l.name, xy, l.colour, 1.75, l.dash); err != nil {
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
