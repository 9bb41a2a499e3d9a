package drawing

import (
	"fmt"
	"image/color"
	"math"

	"example.org/bobweight/examples/internal/figure"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	_ "gonum.org/v1/plot/vg/vgsvg" // "svg"
)

// Size of the page in mm: A4 across, less its margins.
const (
	width  = 277.0
	height = 190.0
)

// pen draws on a page whose points are in mm, the origin at the bottom left. A view
// lays a part of the mechanism, in m, on it.
type pen struct {
	c     draw.Canvas
	at    r2.Vec  // of the shaft on the page, mm
	scale float64 // of the drawing, 1 = natural size
}

// page makes a picture of the format.
func page(format string, draws func(*pen)) ([]byte, error) {
	data, err := figure.Picture(func(c draw.Canvas) {
		p := &pen{c: c, scale: 1}
		var white vg.Path
		white.Move(point(r2.Vec{}))
		for _, corner := range []r2.Vec{{X: width}, {X: width, Y: height}, {Y: height}} {
			white.Line(point(corner))
		}
		white.Close()
		p.c.SetColor(color.White)
		p.c.Fill(white)
		draws(p)
	}, vg.Length(width)*vg.Millimeter, vg.Length(height)*vg.Millimeter, format)
	if err != nil {
		return nil, fmt.Errorf("drawing: %w", err)
	}
	return data, nil
}

func point(mm r2.Vec) vg.Point {
	return vg.Point{X: vg.Length(mm.X) * vg.Millimeter, Y: vg.Length(mm.Y) * vg.Millimeter}
}

// on is a point of the mechanism on the page.
func (p *pen) on(m r2.Vec) r2.Vec { return r2.Add(p.at, r2.Scale(1e3*p.scale, m)) }

// style sets colour, width in mm and dashes in mm.
func (p *pen) style(c color.Color, line float64, dashes ...float64) {
	p.c.SetColor(c)
	p.c.SetLineWidth(vg.Length(line) * vg.Millimeter)
	var d []vg.Length
	for _, x := range dashes {
		d = append(d, vg.Length(x)*vg.Millimeter)
	}
	p.c.SetLineDash(d, 0)
}

// path joins points of the page.
func path(points ...r2.Vec) vg.Path {
	var out vg.Path
	for i, q := range points {
		if i == 0 {
			out.Move(point(q))
		} else {
			out.Line(point(q))
		}
	}
	return out
}

// circle is one on the page.
func circle(at r2.Vec, radius float64) vg.Path {
	var out vg.Path
	out.Move(point(r2.Vec{X: at.X + radius, Y: at.Y}))
	out.Arc(point(at), vg.Length(radius)*vg.Millimeter, 0, 2*math.Pi)
	out.Close()
	return out
}

// write puts a line of text on the page, size in mm; x is 0 for text to the right of
// the point, -0.5 for the middle.
func (p *pen) write(at r2.Vec, size, x float64, s string) {
	p.c.FillText(draw.TextStyle{
		Color:  color.Black,
		Font:   font.From(font.Font{Typeface: plot.DefaultFont.Typeface, Variant: "Sans"}, vg.Length(size)*vg.Millimeter),
		XAlign: text.XAlignment(x), YAlign: -0.5, Handler: plot.DefaultTextHandler,
	}, point(at), s)
}

// letter marks a dimension.
func (p *pen) letter(at r2.Vec, s string) {
	p.c.SetColor(color.White)
	p.c.Fill(circle(at, 2.1))
	p.style(figure.Orange, 0.25)
	p.c.Stroke(circle(at, 2.1))
	p.write(at, 3.2, -0.5, s)
}
