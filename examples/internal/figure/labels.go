package figure

import (
	"cmp"
	"image/color"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// EndLabels names lines at their right ends, in a margin that the frame has for them.
// Names that would overlap are moved apart and joined to their lines by a leader. It
// is a plotter.
type EndLabels struct {
	list []endLabel
	p    *plot.Plot
}

type endLabel struct {
	name  string
	end   plotter.XY
	color color.Color
}

// Add names the line that ends at a point.
func (e *EndLabels) Add(name string, end plotter.XY, c color.Color) {
	e.list = append(e.list, endLabel{name, end, c})
}

// On reserves room right of the highest x that the plot shows and adds the labels to
// it. Set the range of the axes first; they are not to change any more.
func (e *EndLabels) On(p *plot.Plot, share float64) {
	e.p = p
	p.X.Max += share * (p.X.Max - p.X.Min)
	p.Add(e)
}

// Plot draws the labels.
func (e *EndLabels) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	style := p.Legend.TextStyle
	style.XAlign, style.YAlign, style.Handler = text.XLeft, text.YCenter, plot.DefaultTextHandler
	step := 1.25 * style.Height("x")
	far := vg.Length(0)
	for _, l := range e.list {
		far = max(far, x(l.end.X))
	}
	var list []endLabel
	for _, l := range e.list {
		style.Color = l.color
		if x(l.end.X) < far-vg.Points(40) {
			// A line that ends early is named where it ends.
			c.FillText(style, vg.Point{X: x(l.end.X) + vg.Points(4), Y: y(l.end.Y)}, l.name)
			continue
		}
		list = append(list, l)
	}
	slices.SortStableFunc(list, func(a, b endLabel) int { return cmp.Compare(a.end.Y, b.end.Y) })
	at := make([]vg.Length, len(list))
	for i, l := range list {
		at[i] = min(max(y(l.end.Y), c.Min.Y+step/2), c.Max.Y-step/2)
		if i > 0 {
			at[i] = max(at[i], at[i-1]+step)
		}
	}
	// What the frame has no room for above goes down again.
	for i := len(at) - 1; i >= 0; i-- {
		most := c.Max.Y - step/2
		if i+1 < len(at) {
			most = at[i+1] - step
		}
		at[i] = min(at[i], most)
	}
	for i, l := range list {
		style.Color = l.color
		begin := far + vg.Points(14)
		c.StrokeLine2(draw.LineStyle{Color: l.color, Width: vg.Points(0.5)}, x(l.end.X)+vg.Points(1), y(l.end.Y), begin-vg.Points(2), at[i])
		c.FillText(style, vg.Point{X: begin, Y: at[i]}, l.name)
	}
}
