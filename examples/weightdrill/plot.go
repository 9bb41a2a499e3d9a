package main

import (
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/bodies"
)

var styles = []struct {
	colour color.Color
	dashes []vg.Length
}{{figure.Blue, nil}, {figure.Orange, []vg.Length{8, 3}}, {figure.Green, []vg.Length{3, 3}}}

func figures(s study) ([]figure.Figure, error) {
	drawn, err := weightPlot(s)
	if err != nil {
		return nil, err
	}
	curves, err := curvePlot(s)
	if err != nil {
		return nil, err
	}
	return []figure.Figure{{Name: "weight", Plot: drawn}, {Name: "weight-advance", Plot: curves}}, nil
}

// weightPlot draws the weight in its plate, with holes and centres of mass.
func weightPlot(s study) (*figure.Plot, error) {
	p := figure.New("The weight at rest, shaft axis at the origin", "mm", "mm")
	p.Legend.Left, p.Legend.Top, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	for _, o := range []struct {
		outline bodies.Outline
		fill    color.Color
	}{{outline(), color.NRGBA{R: 220, G: 224, B: 228, A: 255}}, {bodies.Circle(pivot, 2.5e-3), color.White}} {
		shape, err := plotter.NewPolygon(points(o.outline))
		if err != nil {
			return nil, err
		}
		shape.Color, shape.LineStyle.Color = o.fill, figure.Grey
		p.Add(shape)
	}
	lever, err := plotter.NewLine(plotter.XYs{{X: 0, Y: 0}, {X: pivot.X * 1e3, Y: pivot.Y * 1e3}})
	if err != nil {
		return nil, err
	}
	lever.Color, lever.Dashes = figure.Grey, []vg.Length{3, 3}
	p.Add(lever)
	p.Legend.Add("line through axis and pivot, where metal has no lever", lever)
	for i, v := range s.variants {
		for _, at := range v.holes {
			hole, err := plotter.NewPolygon(points(bodies.Circle(at, s.diameter/2)))
			if err != nil {
				return nil, err
			}
			hole.Color, hole.LineStyle.Color = color.White, styles[i].colour
			hole.LineStyle.Width, hole.LineStyle.Dashes = vg.Points(2), styles[i].dashes
			p.Add(hole)
		}
		centre, err := plotter.NewScatter(plotter.XYs{{X: v.body.Centre.X * 1e3, Y: v.body.Centre.Y * 1e3}})
		if err != nil {
			return nil, err
		}
		centre.GlyphStyle = draw.GlyphStyle{Color: styles[i].colour, Radius: vg.Points(4), Shape: draw.CrossGlyph{}}
		p.Add(centre)
		p.Legend.Add("centre of mass, "+v.name, centre)
	}
	// Equal scales: the frame of a figure is 1.72 times as wide as high.
	const low, high = -26, 13
	p.Y.Min, p.Y.Max = low, high
	p.X.Min = -20
	p.X.Max = p.X.Min + 1.72*(high-low)
	return p, nil
}

// points follows an outline in mm for drawing, its arcs in short chords about
// their centres.
func points(o bodies.Outline) plotter.XYs {
	var xys plotter.XYs
	from := o[len(o)-1].To
	for _, e := range o {
		n := 1 + int(math.Abs(e.Sweep)/0.05)
		for i := 1; i <= n; i++ {
			at := e.To
			if i < n {
				half := r2.Scale(0.5, r2.Sub(e.To, from))
				centre := r2.Add(r2.Add(from, half), r2.Scale(1/math.Tan(e.Sweep/2), r2.Vec{X: -half.Y, Y: half.X}))
				at = r2.Rotate(from, e.Sweep*float64(i)/float64(n), centre)
			}
			xys = append(xys, plotter.XY{X: at.X * 1e3, Y: at.Y * 1e3})
		}
		from = e.To
	}
	return xys
}

// curvePlot draws what the holes do to the curve.
func curvePlot(s study) (*figure.Plot, error) {
	const slowest, fastest = 300, 1300
	p := figure.New("Advance, rising speed", "speed of the distributor shaft, rpm", "advance of the cam, degrees at the distributor")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	for i, v := range s.variants {
		var xys plotter.XYs
		for n := float64(slowest); n <= fastest; n += 2.5 {
			xys = append(xys, plotter.XY{X: n, Y: v.curve.Theta(n*rpm, flyweights.Rising) * 180 / math.Pi})
		}
		l, err := plotter.NewLine(xys)
		if err != nil {
			return nil, err
		}
		l.Color, l.Width, l.Dashes = styles[i].colour, vg.Points(2), styles[i].dashes
		p.Add(l)
		p.Legend.Add(v.name, l)
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = slowest, fastest, 0, 15
	return p, nil
}
