// Knockmap draws the knock limit with its band, before and after listening, and how
// limit and best torque lie over speed and load.
//
//	go run ./examples/knockmap -out DIR
//
// The engine is a scenario of our own: four cylinders, 80.3 by 88.9 mm, 8.5 to 1, on
// fuel of 95/85; trace knock has been heard at 22 degrees and 2000 rpm, and at 29 degrees
// and 3200 rpm. What was heard narrows the band where it was heard and around it.
//
// Audible knock is damage under way. The limits are estimates with the bands that are
// drawn: start retarded and listen. Fuel and emission law, and the rules of licensed
// practice, come first.
package main

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"math"
	"os"

	"gonum.org/v1/plot/palette/moreland"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/knock"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		s, err := study()
		if err != nil {
			return nil, err
		}
		s.print(out)
		return s.figures()
	})
}

var heard = []knock.Observation{
	{Condition: knock.Condition{RPM: 2000}, Kind: knock.TraceKnock, Spark: 22},
	{Condition: knock.Condition{RPM: 3200}, Kind: knock.TraceKnock, Spark: 29},
}

type limits struct {
	calibrated    *knock.Model
	before, after []knock.SparkRequirement
	speed, load   []float64
	grid          [][]knock.SparkRequirement // by load, then speed
}

func even(lo, hi float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = lo + (hi-lo)*float64(i)/float64(n-1)
	}
	return out
}

func engine() knock.Engine {
	return knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85})
}

// bands are the limits at full load, before and after listening.
func bands(ctx context.Context, e knock.Engine) (*limits, error) {
	m, err := knock.New(e)
	if err != nil {
		return nil, err
	}
	s := &limits{speed: even(1000, 4000, 13), load: even(60e3, 99e3, 11)}
	if s.calibrated, err = m.Calibrate(ctx, heard...); err != nil {
		return nil, err
	}
	var full []knock.Condition
	for _, rpm := range even(1000, 4500, 15) {
		full = append(full, knock.Condition{RPM: rpm})
	}
	if s.before, err = m.Each(ctx, full, nil); err != nil {
		return nil, err
	}
	s.after, err = s.calibrated.Each(ctx, full, nil)
	return s, err
}

func study() (*limits, error) {
	ctx := context.Background()
	s, err := bands(ctx, engine())
	if err != nil {
		return nil, err
	}
	var conditions []knock.Condition
	for _, pressure := range s.load {
		for _, rpm := range s.speed {
			conditions = append(conditions, knock.Condition{RPM: rpm, InletPressure: pressure})
		}
	}
	all, err := s.calibrated.Each(ctx, conditions, nil)
	if err != nil {
		return nil, err
	}
	for i := range s.load {
		s.grid = append(s.grid, all[i*len(s.speed):(i+1)*len(s.speed)])
	}
	return s, nil
}

func (s *limits) print(out io.Writer) {
	fmt.Fprintln(out, "full load       best torque   trace knock, 90 % band: before listening       after it")
	for i, b := range s.before {
		a := s.after[i]
		fmt.Fprintf(out, "%5.0f rpm   %5.0f deg BTDC   %23s (%3.0f to %3.0f)   %16s (%3.0f to %3.0f)\n", b.RPM, a.MBT, limit(b), b.KLSALow, b.KLSAHigh, limit(a), a.KLSALow, a.KLSAHigh)
	}
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
}

// limit is the limit in words.
func limit(w knock.SparkRequirement) string {
	if !w.KnockLimited {
		return "none found"
	}
	return fmt.Sprintf("%.0f", w.KLSA)
}

func (s *limits) figures() ([]figure.Figure, error) {
	band := figure.New("Knock limit at full load with its 90 % band, before and after two observations", "engine speed, rpm", "spark, deg before top centre")
	for _, k := range []struct {
		name  string
		wants []knock.SparkRequirement
		style figure.Style
		tint  color.NRGBA
	}{{"knock limit before listening", s.before, figure.Style{Color: figure.Grey, Width: 1.6, Dashes: figure.KnockLimit.Dashes}, figure.PresentIn}, {"knock limit after listening", s.after, figure.KnockLimit, figure.KnockBand}} {
		if err := shade(band, k.name, k.wants, k.style, k.tint); err != nil {
			return nil, err
		}
	}
	var best, points plotter.XYs
	for _, w := range s.after {
		best = append(best, plotter.XY{X: w.RPM, Y: w.MBT})
	}
	for _, o := range heard {
		points = append(points, plotter.XY{X: o.Condition.RPM, Y: o.Spark})
	}
	mbt, err := plotter.NewLine(best)
	if err != nil {
		return nil, err
	}
	figure.BestTorque.Of(mbt)
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return nil, err
	}
	dots.Color, dots.Radius, dots.Shape = figure.Grey, vg.Points(4), draw.CircleGlyph{}
	band.Add(mbt, dots, plotter.NewGrid())
	band.Legend.Add("best torque", mbt)
	band.Legend.Add("trace knock heard", dots)
	band.Y.Tick.Marker = figure.Even(-10, 60, 10)
	band.Legend.Top, band.Legend.Left = true, true
	area, err := s.contours()
	if err != nil {
		return nil, err
	}
	return []figure.Figure{{Name: "knock-limit-band", Plot: band}, {Name: "knock-limit-map", Plot: area}}, nil
}

// shade draws a limit as a line in its band, as far as one was found.
func shade(p *figure.Plot, name string, wants []knock.SparkRequirement, style figure.Style, tint color.NRGBA) error {
	var outline, line plotter.XYs
	for _, w := range wants {
		outline = append(outline, plotter.XY{X: w.RPM, Y: w.KLSAHigh})
		if w.KnockLimited { // else the limit is only the end of the search
			line = append(line, plotter.XY{X: w.RPM, Y: w.KLSA})
		}
	}
	for i := len(wants) - 1; i >= 0; i-- {
		outline = append(outline, plotter.XY{X: wants[i].RPM, Y: wants[i].KLSALow})
	}
	area, err := plotter.NewPolygon(outline)
	if err != nil {
		return err
	}
	area.Color, area.LineStyle.Width = tint, 0
	l, err := plotter.NewLine(line)
	if err != nil {
		return err
	}
	style.Of(l)
	p.Add(area, l)
	p.Legend.Add(name, l)
	return nil
}

// surplus is the limit less best torque over speed and load: below zero the engine
// cannot be given its best spark. Where no limit was found it is capped.
type surplus struct{ s *limits }

const most = 12.0 // crank degrees shown

func (z surplus) Dims() (c, r int)   { return len(z.s.speed), len(z.s.load) }
func (z surplus) X(c int) float64    { return z.s.speed[c] }
func (z surplus) Y(r int) float64    { return z.s.load[r] / 1e3 }
func (z surplus) Z(c, r int) float64 { w := z.s.grid[r][c]; return math.Min(w.KLSALow-w.MBT, most) }

func (s *limits) contours() (*figure.Plot, error) {
	p := figure.New("Low edge of the knock limit less best torque: below zero the fuel rules, above it the flame", "engine speed, rpm", "inlet pressure, kPa absolute")
	colours := figure.Pale(moreland.SmoothBlueRed())
	colours.SetMin(-most)
	colours.SetMax(most)
	levels := []float64{-12, -9, -6, -3, 0, 3, 6, 9}
	p.Heat(surplus{s}, colours, "low edge of the knock limit less best torque, crank degrees", -most, most, 3)
	lines := plotter.NewContour(surplus{s}, levels, nil)
	lines.LineStyles[0].Color, lines.LineStyles[0].Width = figure.OnColour, vg.Points(0.8)
	p.Add(ordered{lines})
	labels, err := s.labels(levels)
	if err != nil {
		return nil, err
	}
	p.Add(labels)
	return p, nil
}

// labels writes each level where it crosses a speed in the middle of the map.
func (s *limits) labels(levels []float64) (*plotter.Labels, error) {
	z := surplus{s}
	var at plotter.XYLabels
	for _, c := range []int{2, 6, 10} {
		for r := 1; r < len(s.load); r++ {
			a, b := z.Z(c, r-1), z.Z(c, r)
			for _, l := range levels {
				if (a-l)*(b-l) < 0 {
					at.XYs = append(at.XYs, plotter.XY{X: z.X(c), Y: z.Y(r-1) + (z.Y(r)-z.Y(r-1))*(a-l)/(a-b)})
					at.Labels = append(at.Labels, fmt.Sprintf("%.0f", l))
				}
			}
		}
	}
	labels, err := plotter.NewLabels(at)
	if err != nil {
		return nil, err
	}
	for i := range labels.TextStyle {
		labels.TextStyle[i].Font.Variant, labels.TextStyle[i].Color = "Sans", figure.OnColour
	}
	return labels, nil
}
