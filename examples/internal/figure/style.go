package figure

import (
	"image/color"

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

// The things that several plots show.
var (
	NewCurve   = Style{Blue, 2.6, nil}
	Falling    = Style{Blue, 0.9, nil}
	Present    = Style{Grey, 1.6, []float64{9, 3}}
	BestTorque = Style{Green, 1.8, []float64{2, 3}}
	KnockLimit = Style{Orange, 1.6, []float64{8, 3, 2, 3}}
	KnockEdge  = Style{Orange, 0.8, []float64{3, 2}}
)

// Of gives a line the style.
func (s Style) Of(l *plotter.Line) {
	l.Color, l.Width, l.Dashes = s.Color, vg.Points(s.Width), nil
	for _, d := range s.Dashes {
		l.Dashes = append(l.Dashes, vg.Points(d))
	}
}

// Reading is the mark of a reading; one with the hose on is drawn filled.
func Reading(hoseOn bool) draw.GlyphStyle {
	g := draw.GlyphStyle{Color: Grey, Radius: vg.Points(3.2), Shape: draw.RingGlyph{}}
	if hoseOn {
		g.Shape = draw.TriangleGlyph{}
	}
	return g
}
