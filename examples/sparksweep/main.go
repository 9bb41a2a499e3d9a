// Sparksweep turns the distributor by hand, in numbers: torque over spark with its flat
// top, and where the end gas ignites by itself.
//
//	go run ./examples/sparksweep -out DIR
//
// The engine is a scenario of our own: four cylinders, 80.3 by 88.9 mm, 8.5 to 1, at
// 2000 rpm and full load on fuel of 95/85. The last degrees before best torque are
// worth almost nothing, and they are the ones that knock.
//
// Audible knock is damage under way. The limits are estimates with the band that is
// drawn: start retarded and listen. Fuel and emission law, and the rules of licensed
// practice, come first.
package main

import (
	"fmt"
	"io"
	"os"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

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

// sweep is a row of cycles from a late to an early spark.
type sweep struct {
	want   knock.SparkRequirement
	cycles []*knock.Cycle
}

func study() (*sweep, error) {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		return nil, err
	}
	s := &sweep{}
	if s.want, err = m.SparkRequirement(condition); err != nil {
		return nil, err
	}
	for spark := 0.0; spark <= 45; spark++ {
		c, err := m.Cycle(condition, spark)
		if err != nil {
			return nil, err
		}
		s.cycles = append(s.cycles, c)
	}
	return s, nil
}

func (s *sweep) print(out io.Writer) {
	w := s.want
	fmt.Fprintf(out, "2000 rpm, full load: best torque %.0f N m at %.0f deg BTDC, flat from %.0f to %.0f (0.5 %%)\n", w.Torque, w.MBT, w.MBTLate, w.MBTEarly)
	fmt.Fprintf(out, "trace knock near %.0f deg BTDC, 90 %% band %.0f to %.0f (uncalibrated estimate)\n", w.KLSA, w.KLSALow, w.KLSAHigh)
	for i := 0; i < len(s.cycles); i += 5 {
		c := s.cycles[i]
		knocks := "no knock"
		if c.Knocks {
			knocks = fmt.Sprintf("knock at %.0f deg ATDC, %.0f %% unburned", c.Onset, 100*c.Unburned)
		}
		fmt.Fprintf(out, "spark %2.0f: %5.1f %% of best torque, %s\n", c.Spark, 100*c.Torque/w.Torque, knocks)
	}
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
}

func (s *sweep) figures() ([]figure.Figure, error) {
	torque := figure.New("Torque against spark at 2000 rpm, full load; shaded: band of the knock limit", "spark, deg before top centre", "torque, % of best")
	onset := figure.New("Where the end gas ignites by itself, and how much of it is left", "spark, deg before top centre", "deg after top centre, or % unburned")
	var line, angle, left plotter.XYs
	for _, c := range s.cycles {
		line = append(line, plotter.XY{X: c.Spark, Y: 100 * c.Torque / s.want.Torque})
		if c.Knocks {
			angle = append(angle, plotter.XY{X: c.Spark, Y: c.Onset})
			left = append(left, plotter.XY{X: c.Spark, Y: 100 * c.Unburned})
		}
	}
	if err := s.band(torque, 78, 101); err != nil {
		return nil, err
	}
	l, err := plotter.NewLine(line)
	if err != nil {
		return nil, err
	}
	l.Color, l.Width = figure.Blue, vg.Points(1.8)
	flat, err := plotter.NewLine(plotter.XYs{{X: s.want.MBTLate, Y: 99.5}, {X: s.want.MBTEarly, Y: 99.5}})
	if err != nil {
		return nil, err
	}
	flat.Color, flat.Width = figure.Green, vg.Points(3)
	torque.Add(l, flat, plotter.NewGrid())
	torque.Legend.Add("torque", l)
	torque.Legend.Add("flat top, 0.5 %", flat)
	torque.Y.Min, torque.Y.Max = 78, 101

	if err := s.band(onset, 0, 60); err != nil {
		return nil, err
	}
	a, err := plotter.NewLine(angle)
	if err != nil {
		return nil, err
	}
	a.Color, a.Width = figure.Blue, vg.Points(1.8)
	b, err := plotter.NewLine(left)
	if err != nil {
		return nil, err
	}
	b.Color, b.Width, b.Dashes = figure.Purple, vg.Points(1.8), []vg.Length{vg.Points(6), vg.Points(3)}
	onset.Add(a, b, plotter.NewGrid())
	onset.Legend.Add("onset, deg after top centre", a)
	onset.Legend.Add("unburned at onset, %", b)
	onset.Y.Min, onset.Y.Max = 0, 60
	onset.X.Min = 0
	onset.Legend.Top, onset.Legend.Left = true, true
	return []figure.Figure{{Name: "spark-torque", Plot: torque}, {Name: "spark-onset", Plot: onset}}, nil
}

// band shades the 90 % band of the knock limit and draws the limit.
func (s *sweep) band(p *figure.Plot, lo, hi float64) error {
	w := s.want
	area, err := plotter.NewPolygon(plotter.XYs{{X: w.KLSALow, Y: lo}, {X: w.KLSAHigh, Y: lo}, {X: w.KLSAHigh, Y: hi}, {X: w.KLSALow, Y: hi}})
	if err != nil {
		return err
	}
	area.Color, area.LineStyle.Width = figure.KnockBand, 0
	limit, err := plotter.NewLine(plotter.XYs{{X: w.KLSA, Y: lo}, {X: w.KLSA, Y: hi}})
	if err != nil {
		return err
	}
	figure.KnockLimit.Of(limit)
	p.Add(area, limit)
	p.Legend.Add("knock limit", limit)
	return nil
}
