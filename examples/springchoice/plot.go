package main

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

// styles are how the choices are drawn in both plots.
var styles = []struct {
	colour color.Color
	dashes []vg.Length
}{
	{figure.Blue, nil},
	{figure.Purple, []vg.Length{8, 3}},
	{figure.Green, []vg.Length{3, 3}},
	{figure.Orange, []vg.Length{10, 3, 2, 3}},
}

const rpm = 2 * math.Pi / 60 // rad/s

// figures draws the tension laws and the advance curves of the choices.
func figures(cs []choice) ([]figure.Figure, error) {
	laws, err := lawPlot(cs)
	if err != nil {
		return nil, err
	}
	curves, err := curvePlot(cs)
	if err != nil {
		return nil, err
	}
	return []figure.Figure{{Name: "spring-tension", Plot: laws}, {Name: "spring-advance", Plot: curves}}, nil
}

// add draws the line of choice i and names it.
func add(p *figure.Plot, i int, c choice, xys plotter.XYs) error {
	l, err := plotter.NewLine(xys)
	if err != nil {
		return err
	}
	l.Color, l.Width, l.Dashes = styles[i].colour, vg.Points(2), styles[i].dashes
	p.Add(l)
	p.Legend.Add(c.name, l)
	return nil
}

// lawPlot draws the tension of each second spring over its length, between the
// lengths that the posts leave it.
func lawPlot(cs []choice) (*figure.Plot, error) {
	const shortest, highest = 23.4, 13.0 // mm, N
	p := figure.New("Tension of the second spring", "length inside the loops, mm", "tension, N")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs = true, true, vg.Points(100)
	p.Add(plotter.NewGrid())
	rest, stop := space()
	var labels plotter.XYLabels
	for _, v := range []struct {
		length float64
		name   string
	}{{rest, "at rest"}, {stop, "at the stop"}} {
		l, err := plotter.NewLine(plotter.XYs{{X: v.length * 1e3, Y: 0}, {X: v.length * 1e3, Y: highest}})
		if err != nil {
			return nil, err
		}
		l.Color = figure.Grey
		p.Add(l)
		labels.XYs = append(labels.XYs, plotter.XY{X: v.length*1e3 + 0.04, Y: 0.3})
		labels.Labels = append(labels.Labels, v.name)
	}
	names, err := plotter.NewLabels(labels)
	if err != nil {
		return nil, err
	}
	for i := range names.TextStyle {
		names.TextStyle[i].Color, names.TextStyle[i].Font.Variant = figure.Grey, "Sans"
	}
	p.Add(names)
	for i, c := range cs {
		if err := add(p, i, c, law(c.parts[1].Spring, shortest, stop)); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{23.5, 28, 0.5}, [3]float64{0, highest, 1})
	p.X.Min = shortest
	return p, nil
}

// law is the broken line of a spring: nothing up to take-up, there a jump to the
// initial tension, and the rate beyond.
func law(s springs.Spring, shortest, longest float64) plotter.XYs {
	up := s.TakeUp()
	return plotter.XYs{
		{X: shortest, Y: 0}, {X: up * 1e3, Y: 0}, {X: up * 1e3, Y: s.InitialTension}, {X: longest * 1e3, Y: s.Tension(longest)},
	}
}

// curvePlot draws the advance curves at the distributor shaft.
func curvePlot(cs []choice) (*figure.Plot, error) {
	const slowest, fastest = 300, 1100
	p := figure.New("Advance, rising speed", "speed of the distributor shaft, rpm", "advance of the cam, degrees at the distributor")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	for i, c := range cs {
		var xys plotter.XYs
		for n := float64(slowest); n <= fastest; n += 2.5 {
			xys = append(xys, plotter.XY{X: n, Y: c.curve.Theta(n*rpm, flyweights.Rising) * 180 / math.Pi})
		}
		if err := add(p, i, c, xys); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{slowest, fastest, 100}, [3]float64{0, 16, 2})
	return p, nil
}
