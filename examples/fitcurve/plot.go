package main

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/examples/internal/figure"
)

// The plots share their axes.
const (
	leastRPM, mostRPM = 400, 4400
	leastDeg, mostDeg = 0, 48
	stepRPM           = 25
)

var (
	band    = figure.PresentIn
	unknown = figure.AtMost
)

// draw plots readings, fitted curve with its band, and the curve wanted.
func (c *car) draw() (figure.Figure, error) {
	p := figure.New(c.title, "engine speed, rpm crank", "timing, deg crank BTDC")
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = leastRPM, mostRPM, leastDeg, mostDeg
	p.Add(plotter.NewGrid())
	p.Legend.Top, p.Legend.Left = true, true
	for _, add := range []func(p *figure.Plot) error{c.band, c.wish, c.fitted, c.points} {
		if err := add(p); err != nil {
			return figure.Figure{}, err
		}
	}
	return figure.Figure{Name: c.name, Plot: p}, nil
}

// round keeps coordinates to a hundredth, so that the last bit of the fit does not
// move a pixel.
func round(v float64) float64 { return math.Round(100*v) / 100 }

// band fills the 95 % band where both sides are known and, fainter, down from the
// limit where only the upper side is.
func (c *car) band(p *figure.Plot) error {
	var top, bottom, limit plotter.XYs
	for n := float64(leastRPM); n <= mostRPM; n += stepRPM {
		e, err := c.result.Band(n)
		if err != nil {
			return err
		}
		switch e.Bound {
		case readings.Interval:
			top = append(top, plotter.XY{X: n, Y: round(e.High)})
			bottom = append(bottom, plotter.XY{X: n, Y: round(e.Low)})
		case readings.AtMost:
			limit = append(limit, plotter.XY{X: n, Y: round(e.High)})
		}
	}
	fill := func(outline plotter.XYs, shade color.Color, name string) error {
		area, err := plotter.NewPolygon(outline)
		if err != nil {
			return err
		}
		area.Color = shade
		area.LineStyle.Width = 0
		p.Add(area)
		p.Legend.Add(name, area)
		return nil
	}
	slices.Reverse(bottom)
	if err := fill(append(top, bottom...), band, "95 % band"); err != nil {
		return err
	}
	if len(limit) == 0 {
		return nil
	}
	edge := plotter.XY{X: c.readings[0].RPM, Y: limit[len(limit)-1].Y}
	limit = append(limit, edge, plotter.XY{X: edge.X, Y: leastDeg}, plotter.XY{X: leastRPM, Y: leastDeg})
	return fill(limit, unknown, "not read: at most so much")
}

// wish draws the curve wanted.
func (c *car) wish(p *figure.Plot) error {
	var line plotter.XYs
	for _, q := range c.curve.Points() {
		line = append(line, plotter.XY{X: q.RPM, Y: q.Degrees})
	}
	return figure.Wanted.Curve(p, "wanted", line)
}

// fitted draws the fitted curve between the outermost readings.
func (c *car) fitted(p *figure.Plot) error {
	var line plotter.XYs
	for _, q := range c.result.Curve.Points() {
		line = append(line, plotter.XY{X: round(q.RPM), Y: round(q.Degrees)})
	}
	return figure.Present.Curve(p, "present curve, fitted", line)
}

// points draws the readings, those named as outliers crossed.
func (c *car) points(p *figure.Plot) error {
	var good, bad plotter.XYs
	for k, r := range c.readings {
		at := plotter.XY{X: r.RPM, Y: r.Degrees}
		if slices.Contains(c.result.Outliers, k) {
			bad = append(bad, at)
		} else {
			good = append(good, at)
		}
	}
	mark := func(at plotter.XYs, shape draw.GlyphDrawer, shade color.Color, size vg.Length, name string) error {
		if len(at) == 0 {
			return nil
		}
		s, err := plotter.NewScatter(at)
		if err != nil {
			return err
		}
		s.Shape, s.Color, s.Radius = shape, shade, size
		p.Add(s)
		p.Legend.Add(name, s)
		return nil
	}
	if err := mark(good, draw.RingGlyph{}, figure.Grey, vg.Points(4), "readings"); err != nil {
		return err
	}
	return mark(bad, draw.CrossGlyph{}, figure.Purple, vg.Points(7), "outlier: read again")
}
