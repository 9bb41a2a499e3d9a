package main

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/mapping"
	"example.org/bobweight/examples/internal/figure"
)

// view is the oblique projection of the surface: speed to the right, load back and
// to the right, advance upwards.
type view struct{ g grid }

func (v view) point(c, r int, z float64) plotter.XY {
	cols, rows := v.g.Dims()
	x, y := float64(c)/float64(cols-1), float64(r)/float64(rows-1)
	return plotter.XY{X: x + 0.45*y, Y: z/60 + 0.38*y}
}

// surface draws the rising map as a hill of small faces, from the back to the
// front, with the loads of light cruise at the back.
func surface(m *mapping.Map) (*figure.Plot, error) {
	g := turned{grid{m}}
	v := view{g.grid}
	colours := colourScale(g.ends())
	p := figure.New("Total advance over speed and load: the weights make the ramp, the vacuum unit the step (crank degrees)", "", "")
	p.HideAxes()
	const step = 2 // every second line, so that the faces can be seen
	cols, rows := g.Dims()
	for r := rows - 1 - step; r >= 0; r -= step {
		for c := 0; c+step < cols; c += step {
			face := plotter.XYs{
				v.point(c, r, g.Z(c, r)), v.point(c+step, r, g.Z(c+step, r)),
				v.point(c+step, r+step, g.Z(c+step, r+step)), v.point(c, r+step, g.Z(c, r+step)),
			}
			polygon, err := plotter.NewPolygon(face)
			if err != nil {
				return nil, err
			}
			if polygon.Color, err = colours.At((g.Z(c, r) + g.Z(c+step, r+step)) / 2); err != nil {
				return nil, err
			}
			polygon.LineStyle = draw.LineStyle{Color: color.NRGBA{R: 40, G: 40, B: 40, A: 255}, Width: vg.Points(0.4)}
			p.Add(polygon)
		}
	}
	if err := frame(p, v, g); err != nil {
		return nil, err
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -0.16, 1.6, -0.14, 1.3
	return p, nil
}

// turned is the map with full load in front, so that the higher part stands
// behind and hides nothing.
type turned struct{ grid }

func (t turned) Y(r int) float64    { return t.grid.Y(len(t.Pressure) - 1 - r) }
func (t turned) Z(c, r int) float64 { return t.grid.Z(c, len(t.Pressure)-1-r) }

// frame draws the foot of the hill, an upright scale, and their numbers.
func frame(p *figure.Plot, v view, g turned) error {
	cols, rows := g.Dims()
	var labels plotter.XYLabels
	say := func(at plotter.XY, dx, dy float64, text string) {
		labels.XYs = append(labels.XYs, plotter.XY{X: at.X + dx, Y: at.Y + dy})
		labels.Labels = append(labels.Labels, text)
	}
	lines := []plotter.XYs{
		{v.point(0, 0, 0), v.point(cols-1, 0, 0), v.point(cols-1, rows-1, 0)},
		{v.point(0, 0, 0), v.point(0, 0, 60)},
		{v.point(cols-1, rows-1, 0), v.point(cols-1, rows-1, g.Z(cols-1, rows-1))},
		{v.point(cols-1, 0, 0), v.point(cols-1, 0, g.Z(cols-1, 0))},
		{v.point(0, 0, 0), v.point(0, 0, g.Z(0, 0))},
	}
	for c := 0; c < cols; c += (cols - 1) / 4 {
		say(v.point(c, 0, 0), -0.03, -0.06, fmt.Sprintf("%.0f rpm", g.X(c)))
	}
	for r := 0; r < rows; r += (rows - 1) / 4 {
		say(v.point(cols-1, r, 0), 0.03, -0.005, fmt.Sprintf("%.0f kPa", g.Y(r)))
	}
	for z := 0.0; z <= 60; z += 10 {
		at := v.point(0, 0, z)
		lines = append(lines, plotter.XYs{at, {X: at.X - 0.012, Y: at.Y}})
		say(at, -0.055, -0.012, fmt.Sprintf("%2.0f°", math.Abs(z)))
	}
	for _, l := range lines {
		line, err := plotter.NewLine(l)
		if err != nil {
			return err
		}
		line.Color = figure.Grey
		p.Add(line)
	}
	text, err := plotter.NewLabels(labels)
	if err != nil {
		return err
	}
	for i := range text.TextStyle {
		text.TextStyle[i].Font.Variant = "Sans"
		text.TextStyle[i].Font.Size = vg.Points(10)
	}
	p.Add(text)
	return nil
}
