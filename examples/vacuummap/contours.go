package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/palette"
	"gonum.org/v1/plot/palette/moreland"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/vacuum"
)

// grid is the rising map as the plotters read it, in rpm and kPa.
type grid struct{ *mapping.Map }

func (g grid) Dims() (c, r int)   { return len(g.RPM), len(g.Pressure) }
func (g grid) X(c int) float64    { return g.RPM[c] }
func (g grid) Y(r int) float64    { return g.Pressure[r] / 1e3 }
func (g grid) Z(c, r int) float64 { return g.Rising[c*len(g.Pressure)+r] }

// ends returns the smallest and largest total of the map.
func (g grid) ends() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, z := range g.Rising {
		lo, hi = math.Min(lo, z), math.Max(hi, z)
	}
	return lo, hi
}

// levels are the heights of the contours, crank degrees.
func levels(lo, hi float64) []float64 {
	const step = 4
	var out []float64
	for z := math.Ceil(lo/step+1e-9) * step; z < hi-1e-9; z += step {
		out = append(out, z)
	}
	return out
}

// loads are ticks of manifold pressure with the vacuum beside them.
type loads struct{}

func (loads) Ticks(lo, hi float64) []plot.Tick {
	var out []plot.Tick
	for kPa := 20.0; kPa <= 100; kPa += 10 {
		if kPa >= lo && kPa <= hi {
			out = append(out, plot.Tick{Value: kPa, Label: fmt.Sprintf("%.0f kPa (%.1f inHg)", kPa, math.Abs(sea.Pressure-kPa*1e3)/vacuum.InchOfMercury)})
		}
	}
	return out
}

// The ends of the colour scale that are left out, in degrees: lines and text are not
// readable on the darkest colours, and the palest look like nothing.
const darkEnd, paleEnd = 35, 12

func colourScale(lo, hi float64) palette.ColorMap {
	c := moreland.ExtendedBlackBody()
	c.SetMin(lo - darkEnd)
	c.SetMax(hi + paleEnd)
	return c
}

// contours draws the rising map as colours with lines every four degrees.
func contours(m *mapping.Map) (*figure.Plot, error) {
	p := figure.New("Total advance, hose on manifold vacuum, speed and vacuum rising",
		"engine speed, rpm", "manifold pressure (vacuum)")
	g := grid{m}
	lo, hi := g.ends()
	p.Heat(g, colourScale(lo, hi), "total advance, crank degrees before top centre", 10, 48, 4)
	for _, z := range levels(lo, hi) {
		line, err := plotter.NewLine(isoline(g, z))
		if err != nil {
			return nil, err
		}
		line.Color, line.Width = figure.OnColour, vg.Points(0.8)
		p.Add(line)
		p.Legend.Name(fmt.Sprintf("%.0f deg", z), line)
	}
	labels, err := contourLabels(g, levels(lo, hi))
	if err != nil {
		return nil, err
	}
	p.Add(labels)
	p.Y.Tick.Marker = loads{}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 500, 4500, 20, 100
	return p, nil
}

// contourLabels writes each level where its line crosses the pressure of light
// cruise or, for low levels, that of full load.
func contourLabels(g grid, levels []float64) (*plotter.Labels, error) {
	var xys plotter.XYLabels
	_, rows := g.Dims()
	for _, z := range levels {
		for _, row := range []int{rows / 4, rows - 4} {
			x, ok := crossing(g, row, z)
			if !ok {
				continue
			}
			xys.XYs = append(xys.XYs, plotter.XY{X: x, Y: g.Y(row)})
			xys.Labels = append(xys.Labels, fmt.Sprintf("%.0f°", z))
		}
	}
	labels, err := plotter.NewLabels(xys)
	if err != nil {
		return nil, err
	}
	for i := range labels.TextStyle {
		labels.TextStyle[i].Font.Variant = "Sans"
		labels.TextStyle[i].Font.Size = vg.Points(11)
		labels.TextStyle[i].Color = figure.OnColour
	}
	labels.Offset = vg.Point{X: vg.Points(3), Y: vg.Points(1)}
	return labels, nil
}

// isoline is the line of one total. The total never falls with speed and never
// rises with pressure, so the line runs upwards to the right: its crossings with the
// rows and columns of the grid, put in order, are the line. (The plot library's own
// contours come in the order of a map and differ by a hair from run to run.)
func isoline(g grid, z float64) plotter.XYs {
	var xys plotter.XYs
	cols, rows := g.Dims()
	for r := range rows {
		if x, ok := crossing(g, r, z); ok {
			xys = append(xys, plotter.XY{X: x, Y: g.Y(r)})
		}
	}
	for c := range cols {
		for r := 1; r < rows; r++ {
			if a, b := g.Z(c, r-1), g.Z(c, r); a >= z && b < z {
				xys = append(xys, plotter.XY{X: g.X(c), Y: g.Y(r-1) + (a-z)/(a-b)*(g.Y(r)-g.Y(r-1))})
			}
		}
	}
	slices.SortFunc(xys, func(a, b plotter.XY) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	return xys
}

// crossing is the speed at which a row of the map first rises through a level.
func crossing(g grid, row int, z float64) (float64, bool) {
	for c := 1; c < len(g.RPM); c++ {
		a, b := g.Z(c-1, row), g.Z(c, row)
		if a < z && b >= z {
			return g.X(c-1) + (z-a)/(b-a)*(g.X(c)-g.X(c-1)), true
		}
	}
	return 0, false
}
