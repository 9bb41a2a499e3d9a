// Knocktrace looks into the cylinder: pressure, end-gas temperature and the
// autoignition integral over crank angle, for three sparks.
//
//	go run ./examples/knocktrace -out DIR
//
// The engine is a scenario of our own: four cylinders, 80.3 by 88.9 mm, 8.5 to 1, at
// 2000 rpm and full load on fuel of 95/85. The latest spark is safe, the middle one
// is where the model puts trace knock, the earliest knocks in earnest.
//
// Audible knock is damage under way. The numbers are estimates, with a band of many
// degrees before anything has been heard on an engine: start retarded and listen. Fuel
// and emission law, and the rules of licensed practice, come first.
package main

import (
	"fmt"
	"image/color"
	"io"
	"os"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"

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

var condition = knock.Condition{RPM: 2000}

// traces are three cycles about the knock limit.
type traces struct {
	want   knock.SparkRequirement
	cycles []*knock.Cycle
}

func study() (*traces, error) {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		return nil, err
	}
	s := &traces{}
	if s.want, err = m.SparkRequirement(condition); err != nil {
		return nil, err
	}
	for _, more := range []float64{-10, 0.02, 10} {
		c, err := m.Cycle(condition, s.want.KLSA+more)
		if err != nil {
			return nil, err
		}
		s.cycles = append(s.cycles, c)
	}
	return s, nil
}

// print says in words what the plots show.
func (s *traces) print(out io.Writer) {
	fmt.Fprintf(out, "2000 rpm, full load: trace knock near %.0f deg BTDC, 90 %% band %.0f to %.0f (uncalibrated estimate)\n", s.want.KLSA, s.want.KLSALow, s.want.KLSAHigh)
	for _, c := range s.cycles {
		fmt.Fprintf(out, "spark %4.1f: %.0f bar at %.0f deg ATDC, end gas to %.0f K, ", c.Spark, c.PeakPressure/1e5, c.PeakAt, c.HottestEndGas)
		if c.Knocks {
			fmt.Fprintf(out, "ignites by itself at %.0f deg ATDC with %.0f %% unburned\n", c.Onset, 100*c.Unburned)
		} else {
			fmt.Fprintf(out, "burned before it could ignite by itself (integral %.2f)\n", c.Integral)
		}
	}
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
}

var colours = []color.Color{figure.Blue, figure.Green, figure.Orange}

func (s *traces) figures() ([]figure.Figure, error) {
	pressure := figure.New("Cylinder pressure at 2000 rpm, full load: a knocking cycle ignites where the dot is", "crank angle, deg after top centre", "pressure, bar")
	endGas := figure.New("Temperature of the gas ahead of the flame", "crank angle, deg after top centre", "end-gas temperature, K")
	integral := figure.New("Autoignition integral: knock where it reaches one before 95 % has burned", "crank angle, deg after top centre", "integral of dt/tau")
	one, err := plotter.NewLine(plotter.XYs{{X: -60, Y: 1}, {X: 60, Y: 1}})
	if err != nil {
		return nil, err
	}
	one.Color, one.Dashes = figure.Grey, []vg.Length{vg.Points(4), vg.Points(3)}
	integral.Add(one)
	for i, c := range s.cycles {
		name := fmt.Sprintf("spark %.0f deg BTDC", c.Spark)
		for _, k := range []struct {
			p    *figure.Plot
			read func(knock.Sample) float64
		}{
			{pressure, func(x knock.Sample) float64 { return x.Pressure / 1e5 }},
			{endGas, func(x knock.Sample) float64 { return x.Unburned }},
			{integral, func(x knock.Sample) float64 { return x.Integral }},
		} {
			if err := draw(k.p, c, name, colours[i], k.read); err != nil {
				return nil, err
			}
		}
	}
	for _, p := range []*figure.Plot{pressure, endGas, integral} {
		p.X.Min, p.X.Max = -60, 60
		p.Y.Min = 0
		p.Legend.Top, p.Legend.Left = true, true
		p.Add(plotter.NewGrid())
	}
	endGas.Y.Min, integral.Y.Max = 400, 1.6
	return []figure.Figure{{Name: "knock-pressure", Plot: pressure}, {Name: "knock-end-gas", Plot: endGas}, {Name: "knock-integral", Plot: integral}}, nil
}

// draw adds one cycle as a line up to where its end gas is consumed, pressure to the
// end, with a dot where it ignites by itself.
func draw(p *figure.Plot, c *knock.Cycle, name string, colour color.Color, read func(knock.Sample) float64) error {
	var line plotter.XYs
	var dot plotter.XYs
	last := c.Samples[0]
	for _, x := range c.Samples {
		if c.Knocks && last.Degrees < c.Onset && x.Degrees >= c.Onset {
			at := (c.Onset - last.Degrees) / (x.Degrees - last.Degrees)
			ignites := plotter.XY{X: c.Onset, Y: read(last) + at*(read(x)-read(last))}
			line, dot = append(line, ignites), append(dot, ignites)
		}
		last = x
		if x.Degrees < -60 || x.Degrees > 60 || (x.Share > 0.95 && read(x) != x.Pressure/1e5) {
			continue
		}
		line = append(line, plotter.XY{X: x.Degrees, Y: read(x)})
	}
	l, err := plotter.NewLine(line)
	if err != nil {
		return err
	}
	l.Color, l.Width = colour, vg.Points(1.5)
	p.Add(l)
	p.Legend.Add(name, l)
	if len(dot) == 0 {
		return nil
	}
	d, err := plotter.NewScatter(dot)
	if err != nil {
		return err
	}
	d.Color, d.Radius, d.Shape = colour, vg.Points(4), vgdraw.CircleGlyph{}
	p.Add(d)
	return nil
}
