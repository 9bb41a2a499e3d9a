package main

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
)

// ordered draws contours of one style in an order that does not change from run to run:
// the plotter keeps its paths in a map.
type ordered struct{ *plotter.Contour }

func (o ordered) Plot(c draw.Canvas, p *plot.Plot) {
	var heard recorder.Canvas
	o.Contour.Plot(draw.Canvas{Canvas: &heard, Rectangle: c.Rectangle}, p)
	var paths []vg.Path
	for _, a := range heard.Actions {
		if s, ok := a.(*recorder.Stroke); ok {
			paths = append(paths, s.Path)
		}
	}
	slices.SortFunc(paths, func(a, b vg.Path) int { return strings.Compare(fmt.Sprint(a), fmt.Sprint(b)) })
	c.SetLineStyle(o.LineStyles[0])
	for _, path := range paths {
		c.Stroke(path)
	}
}
