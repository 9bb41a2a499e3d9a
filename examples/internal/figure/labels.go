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
// Names that would overlap are moved apart and joined to their lines by a leader. A
// line that ends long before the others is named beside itself, at the place nearest to
// its end where neither a line nor a mark crosses the name. It is a plotter.
type EndLabels struct {
	list  []endLabel
	taken []plotter.XYs // lines, and marks as lines of one point
}

type endLabel struct {
	name  string
	line  plotter.XYs
	end   plotter.XY
	color color.Color
}

// Add names a line, which must have a point.
func (e *EndLabels) Add(name string, line plotter.XYs, c color.Color) {
	e.list = append(e.list, endLabel{name, line, line[len(line)-1], c})
}

// Avoid keeps names off lines that have none of their own here, or off a mark.
func (e *EndLabels) Avoid(line plotter.XYs) { e.taken = append(e.taken, line) }

// On reserves room right of the highest x that the plot shows and adds the labels to
// it. Set the range of the axes first; they are not to change any more.
func (e *EndLabels) On(p *Plot, share float64) {
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
	free := e.room(&c, p)
	var early, list []endLabel
	for _, l := range e.list {
		if x(l.end.X) < far-vg.Points(40) {
			early = append(early, l)
		} else {
			list = append(list, l)
		}
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
		from, to := vg.Point{X: x(l.end.X) + vg.Points(1), Y: y(l.end.Y)}, vg.Point{X: begin - vg.Points(2), Y: at[i]}
		c.StrokeLine2(draw.LineStyle{Color: l.color, Width: vg.Points(0.5)}, from.X, from.Y, to.X, to.Y)
		c.FillText(style, vg.Point{X: begin, Y: at[i]}, l.name)
		free.lines = append(free.lines, []vg.Point{from, to})
		free.take(vg.Point{X: begin, Y: at[i]}, style.Width(l.name), style.Height(l.name))
	}
	for _, l := range early {
		style.Color = l.color
		c.FillText(style, free.beside(l.line, style.Width(l.name), style.Height(l.name)), l.name)
	}
}
