package main

import (
	"bytes"
	"image/color"
	"math"
	"strconv"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	// The two back-ends that drawing asks for by name.
	_ "gonum.org/v1/plot/vg/vgimg"
	_ "gonum.org/v1/plot/vg/vgsvg"
)

// style is how a choice is drawn in both panels. The colours stay apart in grey
// print and for colour-blind eyes (after Okabe and Ito, Color Universal Design,
// 2008).
type style struct {
	colour color.Color
	dashes []vg.Length
}

var styles = []style{
	{color.NRGBA{R: 0, G: 114, B: 178, A: 255}, nil},
	{color.NRGBA{R: 230, G: 159, B: 0, A: 255}, []vg.Length{8, 3}},
	{color.NRGBA{R: 0, G: 158, B: 115, A: 255}, []vg.Length{3, 3}},
	{color.NRGBA{R: 213, G: 94, B: 0, A: 255}, []vg.Length{10, 3, 2, 3}},
}

var grey = color.NRGBA{R: 120, G: 120, B: 120, A: 255}

const rpm = 2 * math.Pi / 60 // rad/s

// drawing returns both panels in a format of the plot library, "svg" or "png".
func drawing(cs []choice, format string) ([]byte, error) {
	laws, err := lawPanel(cs)
	if err != nil {
		return nil, err
	}
	curves, err := curvePanel(cs)
	if err != nil {
		return nil, err
	}
	canvas, err := draw.NewFormattedCanvas(28*vg.Centimeter, 13*vg.Centimeter, format)
	if err != nil {
		return nil, err
	}
	tiles := draw.Tiles{Rows: 1, Cols: 2, PadX: vg.Centimeter, PadTop: vg.Points(6), PadBottom: vg.Points(4), PadLeft: vg.Points(4), PadRight: vg.Points(10)}
	panels := plot.Align([][]*plot.Plot{{laws, curves}}, tiles, draw.New(canvas))
	laws.Draw(panels[0][0])
	curves.Draw(panels[0][1])
	var b bytes.Buffer
	_, err = canvas.WriteTo(&b)
	return b.Bytes(), err
}

func panel(title, x, y string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	p.Title.Padding = vg.Points(6)
	p.Legend.Top, p.Legend.Left = true, true
	p.Legend.XOffs, p.Legend.YOffs, p.Legend.Padding = vg.Points(8), -vg.Points(4), vg.Points(3)
	for _, s := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		s.Font.Variant = "Sans"
	}
	p.Add(plotter.NewGrid())
	p.X.Min, p.Y.Min = 0, 0
	return p
}

func (s style) line(xys plotter.XYs) (*plotter.Line, error) {
	l, err := plotter.NewLine(xys)
	if err != nil {
		return nil, err
	}
	l.Color, l.Width, l.Dashes = s.colour, vg.Points(2), s.dashes
	return l, nil
}

// lawPanel draws the tension of each second spring over its length, with the
// lengths that the posts leave it. The first springs are the same but where the
// pair is alike.
func lawPanel(cs []choice) (*plot.Plot, error) {
	p := panel("Tension of the second spring", "length inside the loops, mm", "tension, N")
	rest, stop := space()
	for _, x := range []float64{rest, stop} {
		l, err := plotter.NewLine(plotter.XYs{{X: x * 1e3, Y: 0}, {X: x * 1e3, Y: 12}})
		if err != nil {
			return nil, err
		}
		l.Color, l.Width = grey, vg.Points(0.75)
		p.Add(l)
	}
	labels, err := plotter.NewLabels(plotter.XYLabels{
		XYs:    plotter.XYs{{X: rest*1e3 + 0.06, Y: 11.3}, {X: stop*1e3 + 0.06, Y: 11.3}},
		Labels: []string{"at rest", "at the stop"},
	})
	if err != nil {
		return nil, err
	}
	for i := range labels.TextStyle {
		labels.TextStyle[i].Color, labels.TextStyle[i].Font.Variant = grey, "Sans"
	}
	p.Add(labels)
	for i, c := range cs {
		l, err := styles[i].line(law(c.parts[1].Spring, stop))
		if err != nil {
			return nil, err
		}
		p.Add(l)
		p.Legend.Add(c.name, l)
	}
	p.X.Min, p.X.Max, p.Y.Max = 23.4, 28.4, 16
	p.X.Tick.Marker, p.Y.Tick.Marker = every(1), every(2)
	return p, nil
}

// law is the broken line of a spring: nothing up to take-up, there a jump to the
// initial tension, and the rate beyond.
func law(s springs.Spring, to float64) plotter.XYs {
	up := s.TakeUp()
	return plotter.XYs{
		{X: 23.4, Y: 0}, {X: up * 1e3, Y: 0}, {X: up * 1e3, Y: s.InitialTension}, {X: to * 1e3, Y: s.Tension(to)},
	}
}

// curvePanel draws the advance curves at the distributor shaft.
func curvePanel(cs []choice) (*plot.Plot, error) {
	p := panel("Advance", "speed of the distributor shaft, rpm", "advance of the cam, deg")
	const fastest = 1100
	for i, c := range cs {
		var xys plotter.XYs
		for n := 250.0; n <= fastest; n += 2.5 {
			xys = append(xys, plotter.XY{X: n, Y: c.curve.Theta(n*rpm, flyweights.Rising) * 180 / math.Pi})
		}
		l, err := styles[i].line(xys)
		if err != nil {
			return nil, err
		}
		p.Add(l)
	}
	p.X.Min, p.X.Max, p.Y.Max = 250, fastest, 14
	p.X.Tick.Marker, p.Y.Tick.Marker = every(200), every(2)
	return p, nil
}

// every puts a numbered tick at each whole multiple of a step.
func every(step int) plot.Ticker {
	return plot.TickerFunc(func(low, high float64) []plot.Tick {
		var ticks []plot.Tick
		for v := int(math.Ceil(low/float64(step))) * step; float64(v) <= high; v += step {
			ticks = append(ticks, plot.Tick{Value: float64(v), Label: strconv.Itoa(v)})
		}
		return ticks
	})
}
