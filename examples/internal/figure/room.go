package figure

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// room is what is free in a plot, in the units of its canvas.
type room struct {
	frame vg.Rectangle
	x, y  func(float64) vg.Length
	lines [][]vg.Point
	boxes []vg.Rectangle // the legend, and the names that stand already
}

// room takes stock of the lines and the legend.
func (e *EndLabels) room(c *draw.Canvas, p *plot.Plot) *room {
	r := &room{frame: c.Rectangle, boxes: []vg.Rectangle{legend(c, p)}}
	r.x, r.y = p.Transforms(c)
	for _, l := range e.list {
		r.lines = append(r.lines, r.on(l.line))
	}
	for _, l := range e.taken {
		r.lines = append(r.lines, r.on(l))
	}
	return r
}

// legend is the place of the legend, which says of itself that it stands right where it
// stands left.
func legend(c *draw.Canvas, p *plot.Plot) vg.Rectangle {
	box := p.Legend.Rectangle(*c)
	width := box.Max.X - box.Min.X + 2*gap
	if p.Legend.Left {
		box.Min.X = c.Min.X
	} else {
		box.Min.X = c.Max.X - width
	}
	box.Max.X = box.Min.X + width
	for _, end := range []*vg.Point{&box.Min, &box.Max} {
		end.X, end.Y = end.X+p.Legend.XOffs, end.Y+p.Legend.YOffs
	}
	return box
}

// on is a line on the canvas.
func (r *room) on(line plotter.XYs) []vg.Point {
	var out []vg.Point
	for _, q := range line {
		out = append(out, vg.Point{X: r.x(q.X), Y: r.y(q.Y)})
	}
	return out
}

// gap is left between a name and what it stands beside.
const gap = 4 * vg.Length(1)

// beside finds where a name of that size stands nearest to the end of its line without
// anything crossing it, and takes the place; where there is none it stands at the end.
// The point is the middle of its left side.
func (r *room) beside(line plotter.XYs, width, height vg.Length) vg.Point {
	on := r.on(line)
	end := on[len(on)-1]
	try := []vg.Point{{X: end.X + gap, Y: end.Y}}
	for i := len(on) - 1; i >= 0; i-- {
		for _, aside := range []vg.Length{0, 0.5, 1} {
			for _, off := range []vg.Length{1, -1, 1.7, -1.7} {
				try = append(try, vg.Point{X: on[i].X - aside*width, Y: on[i].Y + off*(height/2+gap)})
			}
		}
	}
	for _, at := range try {
		if r.free(boxOf(at, width, height)) {
			r.take(at, width, height)
			return at
		}
	}
	return try[0]
}

// take keeps other names off the place of one.
func (r *room) take(at vg.Point, width, height vg.Length) {
	r.boxes = append(r.boxes, boxOf(at, width, height))
}

// boxOf is the place of a name with a little room round it.
func boxOf(at vg.Point, width, height vg.Length) vg.Rectangle {
	return vg.Rectangle{
		Min: vg.Point{X: at.X - gap/2, Y: at.Y - height/2 - gap/2},
		Max: vg.Point{X: at.X + width + gap/2, Y: at.Y + height/2 + gap/2},
	}
}

// free reports whether nothing runs through a box, and it lies inside the frame.
func (r *room) free(box vg.Rectangle) bool {
	if box.Min.X < r.frame.Min.X || box.Max.X > r.frame.Max.X || box.Min.Y < r.frame.Min.Y || box.Max.Y > r.frame.Max.Y {
		return false
	}
	for _, b := range r.boxes {
		if box.Min.X < b.Max.X && b.Min.X < box.Max.X && box.Min.Y < b.Max.Y && b.Min.Y < box.Max.Y {
			return false
		}
	}
	for _, line := range r.lines {
		for i, q := range line {
			if cuts(box, line[max(i-1, 0)], q) {
				return false
			}
		}
	}
	return true
}

// cuts reports whether the stretch from a to b has a point in a box: the stretch is
// clipped by the four sides in turn (Liang and Barsky, 1984).
func cuts(box vg.Rectangle, a, b vg.Point) bool {
	from, to := 0.0, 1.0
	clip := func(at, by, low, high vg.Length) bool {
		if by == 0 {
			return at >= low && at <= high
		}
		t0, t1 := float64((low-at)/by), float64((high-at)/by)
		from, to = math.Max(from, math.Min(t0, t1)), math.Min(to, math.Max(t0, t1))
		return from <= to
	}
	return clip(a.X, b.X-a.X, box.Min.X, box.Max.X) && clip(a.Y, b.Y-a.Y, box.Min.Y, box.Max.Y)
}
