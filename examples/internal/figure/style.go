package figure

import (
	"image/color"
	"slices"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Style is the look of one thing, the same in every plot. In grey print the lines
// differ by width and dashes.
type Style struct {
	Color  color.NRGBA
	Width  float64   // points
	Dashes []float64 // points; none for a solid line
}

// The things that several plots show. A study that shows one of them uses its style,
// whatever else is in the plot.
var (
	NewCurve   = Style{Blue, 2.6, nil}                     // what is to be set, rising speed
	Falling    = Style{Blue, 0.9, nil}                     // the same, falling speed
	Present    = Style{Grey, 1.6, []float64{9, 3}}         // fitted to readings
	Wanted     = Style{Purple, 2, []float64{1, 2}}         // what a curve is held against
	BestTorque = Style{Green, 1.8, []float64{2, 3}}        // MBT
	KnockLimit = Style{Orange, 1.6, []float64{8, 3, 2, 3}} // best estimate
	KnockEdge  = Style{Orange, 0.8, []float64{3, 2}}       // edge of its band
	Window     = color.NRGBA{R: 0, G: 114, B: 178, A: 60}  // inside which a reading passes
	PresentIn  = color.NRGBA{R: 90, G: 90, B: 90, A: 50}   // band of the present curve
	AtMost     = color.NRGBA{R: 90, G: 90, B: 90, A: 22}   // where only one side is known
	TorqueBand = color.NRGBA{R: 0, G: 158, B: 115, A: 40}  // band of best torque
	KnockBand  = color.NRGBA{R: 213, G: 94, B: 0, A: 28}   // of the limit
	KnockOpen  = color.NRGBA{R: 213, G: 94, B: 0, A: 16}   // where no knock was met
)

// Of gives a line the style.
func (s Style) Of(l *plotter.Line) {
	l.Color, l.Width, l.Dashes = s.Color, vg.Points(s.Width), nil
	for _, d := range s.Dashes {
		l.Dashes = append(l.Dashes, vg.Points(d))
	}
}

// Curve adds a line in the style to a plot, and its name, unless empty, to the legend.
func (s Style) Curve(p *Plot, name string, xys plotter.XYs) error {
	l, err := plotter.NewLine(xys)
	if err != nil {
		return err
	}
	s.Of(l)
	p.Add(l)
	if name != "" {
		p.Legend.Add(name, l)
	}
	return nil
}

// Area fills between two lines that run the same way, and names the area, unless the
// name is empty, in the legend. Fewer than two points fill nothing.
func Area(p *Plot, name string, low, high plotter.XYs, tint color.NRGBA) error {
	if len(low) < 2 {
		return nil
	}
	back := slices.Clone(high)
	slices.Reverse(back)
	area, err := plotter.NewPolygon(append(slices.Clone(low), back...))
	if err != nil {
		return err
	}
	area.Color, area.LineStyle.Width = tint, 0
	p.Add(area)
	if name != "" {
		p.Legend.Add(name, area)
	}
	return nil
}

// Reading is the mark of a reading: a ring, or with the hose on a triangle.
func Reading(hoseOn bool) draw.GlyphStyle {
	g := draw.GlyphStyle{Color: Grey, Radius: vg.Points(3.2), Shape: draw.RingGlyph{}}
	if hoseOn {
		g.Shape = draw.TriangleGlyph{}
	}
	return g
}

// Outlier is the mark of a reading that was left out.
func Outlier() draw.GlyphStyle {
	return draw.GlyphStyle{Color: Grey, Radius: vg.Points(4.5), Shape: draw.CrossGlyph{}}
}
