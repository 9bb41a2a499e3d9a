package figure

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/palette"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// OnColour is black that stays black in the dark: lines and words on a coloured ground.
var OnColour = color.NRGBA{R: 1, G: 1, B: 1, A: 255}

// heat is a map in colours that run smoothly from point to point of a grid.
type heat struct {
	*plotter.HeatMap
	of plotter.GridXYZ
}

// Heat adds a map of a grid to the plot: a picture, for cells drawn one by one leave
// seams, and a scale of its colours at the right, from lo to hi of what the label
// names. What lies outside takes the nearest colour.
func (p *Plot) Heat(g plotter.GridXYZ, colours palette.ColorMap, label string, lo, hi, step float64) {
	const shades = 255
	h := plotter.NewHeatMap(fine{g}, colours.Palette(shades))
	h.Min, h.Max = colours.Min(), colours.Max()
	h.Underflow, h.Overflow = h.Palette.Colors()[0], h.Palette.Colors()[shades-1]
	h.Rasterized = true
	p.Add(&heat{h, g})
	p.Bar = &Bar{label, colours, lo, hi, step}
}

// fine is a grid with further points between its own, read on straight lines, so that
// no picture of it shows its cells, however a viewer enlarges it.
type fine struct{ plotter.GridXYZ }

const between = 8 // parts of a cell's side

func (f fine) Dims() (c, r int) {
	c, r = f.GridXYZ.Dims()
	return (c-1)*between + 1, (r-1)*between + 1
}

// split is the point of the grid before i and the part of the way to the next.
func split(i int) (int, float64) {
	if i == 0 {
		return 0, 0
	}
	at := (i - 1) / between
	return at, float64(i-at*between) / between
}

func (f fine) X(c int) float64 {
	i, part := split(c)
	if part == 0 {
		return f.GridXYZ.X(i)
	}
	return f.GridXYZ.X(i) + part*(f.GridXYZ.X(i+1)-f.GridXYZ.X(i))
}

func (f fine) Y(r int) float64 {
	i, part := split(r)
	if part == 0 {
		return f.GridXYZ.Y(i)
	}
	return f.GridXYZ.Y(i) + part*(f.GridXYZ.Y(i+1)-f.GridXYZ.Y(i))
}

func (f fine) Z(c, r int) float64 {
	i, x := split(c)
	j, y := split(r)
	at := func(i, j int) float64 { return f.GridXYZ.Z(i, j) }
	along := func(j int) float64 {
		if x == 0 {
			return at(i, j)
		}
		return at(i, j) + x*(at(i+1, j)-at(i, j))
	}
	if y == 0 {
		return along(j)
	}
	return along(j) + y*(along(j+1)-along(j))
}

// Bar is a scale of colours beside a map, with ticks step apart.
type Bar struct {
	Label        string
	Colours      palette.ColorMap
	Lo, Hi, Step float64
}

const barGap, barWide = 10, 14 // points

// width is what the bar takes at the right of the plot.
func (b *Bar) width(p *Plot) vg.Length {
	widest := vg.Length(0)
	for _, t := range Even(b.Lo, b.Hi, b.Step) {
		widest = max(widest, p.Y.Tick.Label.Width(t.Label))
	}
	return barGap + barWide + 6 + widest + 8 + p.Y.Label.TextStyle.Height(b.Label) + 6
}

// draw draws the bar beside the frame of the plot.
func (b *Bar) draw(c draw.Canvas, frame vg.Rectangle, p *Plot) {
	const steps = 128
	img := image.NewNRGBA(image.Rect(0, 0, 1, steps))
	for i := range steps {
		colour, err := b.Colours.At(b.Lo + (b.Hi-b.Lo)*(float64(i)+0.5)/steps)
		if err != nil {
			continue // a height without a colour stays without one
		}
		img.Set(0, steps-1-i, colour)
	}
	left := c.Max.X - b.width(p) + barGap
	box := vg.Rectangle{Min: vg.Point{X: left, Y: frame.Min.Y}, Max: vg.Point{X: left + barWide, Y: frame.Max.Y}}
	c.DrawImage(box, img)
	edge := draw.LineStyle{Color: OnColour, Width: vg.Points(0.5)}
	c.StrokeLines(edge, []vg.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}, box.Min})
	word := p.Y.Tick.Label
	word.XAlign, word.YAlign, word.Handler, word.Rotation = text.XLeft, text.YCenter, plot.DefaultTextHandler, 0
	tick := draw.LineStyle{Color: color.Black, Width: vg.Points(0.5)}
	for _, t := range Even(b.Lo, b.Hi, b.Step) {
		y := box.Min.Y + vg.Length((t.Value-b.Lo)/(b.Hi-b.Lo))*(box.Max.Y-box.Min.Y)
		c.StrokeLine2(tick, box.Max.X, y, box.Max.X+3, y)
		c.FillText(word, vg.Point{X: box.Max.X + 6, Y: y}, t.Label)
	}
	name := p.Y.Label.TextStyle
	name.XAlign, name.YAlign, name.Handler, name.Rotation = text.XCenter, text.YBottom, plot.DefaultTextHandler, quarter
	c.FillText(name, vg.Point{X: c.Max.X - 4, Y: (box.Min.Y + box.Max.Y) / 2}, b.Label)
}

const quarter = math.Pi / 2
