package figure

import (
	"bytes"
	"fmt"
	imagedraw "image/draw"
	"image/png"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Plot is a plot that remembers what was added to it, so that its numbers can be
// written beside it and the same can be drawn small.
type Plot struct {
	*plot.Plot
	Legend Legend
	Bar    *Bar // scale of colours at the right, if any

	parts []plot.Plotter
}

// Legend is the legend of a plot; it remembers the name of each thing.
type Legend struct {
	*plot.Legend
	names map[plot.Thumbnailer]string
}

// Add names things of the plot.
func (l *Legend) Add(name string, of ...plot.Thumbnailer) {
	l.Name(name, of...)
	l.Legend.Add(name, of...)
}

// Name names things of the plot that carry their name on the plot itself, for the
// table of its numbers.
func (l *Legend) Name(name string, of ...plot.Thumbnailer) {
	for _, t := range of {
		l.names[t] = name
	}
}

// Add puts things on the plot.
func (p *Plot) Add(parts ...plot.Plotter) {
	p.parts = append(p.parts, parts...)
	p.Plot.Add(parts...)
}

// Draw draws the plot and, beside it, its scale of colours.
func (p *Plot) Draw(c draw.Canvas) {
	if p.Bar == nil {
		p.Plot.Draw(c)
		return
	}
	c.SetColor(p.BackgroundColor)
	c.Fill(c.Rectangle.Path())
	main := draw.Crop(c, 0, -p.Bar.width(p), 0, 0)
	p.Plot.Draw(main)
	p.Bar.draw(c, p.DataCanvas(main).Rectangle, p)
}

// Small is the format of the picture for a list: an SVG of a third of the size.
const Small = "small.svg"

// File is the plot as a file: "svg", "png" (of a program that imports gonum's
// back-end vgimg), "csv" for its numbers, or [Small].
func (p *Plot) File(format string) ([]byte, error) {
	switch format {
	case "csv":
		return p.table()
	case Small:
		return Picture(p.small().Plot.Draw, Width/3, Height/3, "svg")
	}
	return Picture(p.Draw, Width, Height, format)
}

// Picture is what draw puts on a page of the size given, as a file: "svg", or "png" (of
// a program that imports gonum's back-end vgimg).
func Picture(picture func(draw.Canvas), width, height vg.Length, format string) ([]byte, error) {
	c, err := draw.NewFormattedCanvas(width, height, format)
	if err != nil {
		return nil, fmt.Errorf("figure as %s: %w", format, err)
	}
	picture(draw.New(c))
	var b bytes.Buffer
	if pixels, ok := c.(interface{ Image() imagedraw.Image }); ok && format == "png" {
		// Harder packing takes twice as long for a file 3 % smaller.
		quick := png.Encoder{CompressionLevel: png.BestSpeed}
		if err := quick.Encode(&b, pixels.Image()); err != nil {
			return nil, fmt.Errorf("figure as %s: %w", format, err)
		}
		return b.Bytes(), nil
	}
	if _, err := c.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("figure as %s: %w", format, err)
	}
	if format == "svg" {
		return Vector(b.Bytes()), nil
	}
	return b.Bytes(), nil
}

// small is the plot without words: what the lines do can be seen at a glance.
func (p *Plot) small() *Plot {
	s := New("", "", "")
	s.HideAxes()
	left, right := p.X.Max, p.X.Min
	for _, part := range p.parts {
		switch part := part.(type) {
		case *plotter.Grid, *plotter.Labels, *EndLabels:
			continue
		case plot.DataRanger:
			lo, hi, _, _ := part.DataRange()
			left, right = min(left, lo), max(right, hi)
		}
		s.Add(part)
	}
	// Where labels had room of their own at the right, the lines take it.
	s.X.Min, s.X.Max, s.Y.Min, s.Y.Max = max(p.X.Min, left), min(p.X.Max, right), p.Y.Min, p.Y.Max
	return s
}

// name is what a part of the plot is called: in the legend, or at the end of its line.
func (p *Plot) name(part plot.Plotter) string {
	if t, ok := part.(plot.Thumbnailer); ok && p.Legend.names[t] != "" {
		return p.Legend.names[t]
	}
	line, ok := part.(*plotter.Line)
	if !ok {
		return ""
	}
	for _, other := range p.parts {
		ends, ok := other.(*EndLabels)
		if !ok {
			continue
		}
		if i := slices.IndexFunc(ends.list, func(l endLabel) bool { return l.end == line.XYs[len(line.XYs)-1] && l.color == line.Color }); i >= 0 {
			return ends.list[i].name
		}
	}
	return ""
}
