// Partload shows why an engine on the road wants more spark than one at full load,
// which is what the vacuum unit is for.
//
//	go run ./examples/partload -out DIR
//
// With the throttle nearly shut the charge is thin and holds more burned gas, so the
// flame is slow and wants to be lit earlier; and the end gas is far from igniting by
// itself. The engine is a scenario of our own: four cylinders, 80.3 by 88.9 mm, 8.5 to
// 1, on fuel of 95/85, a stoichiometric mixture below full load.
//
// Audible knock is damage under way. The numbers are estimates with the bands that are
// drawn: start retarded and listen. Fuel and emission law, and the rules of licensed
// practice, come first.
package main

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"os"

	"gonum.org/v1/plot"
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

const (
	inch  = 3386.389 // Pa, conventional inch of mercury
	air   = 101325.0 // Pa
	speed = 2400.0   // rpm
)

// row is one vacuum with what the engine wants there and how it burns.
type row struct {
	vacuum float64 // inHg
	want   knock.SparkRequirement
	cycle  *knock.Cycle
}

type loads struct{ rows []row }

func study() (*loads, error) {
	m, err := knock.New(knock.NewEngine(4, 0.0803, 0.0889, 0.1588, 8.5, knock.Fuel{RON: 95, MON: 85}))
	if err != nil {
		return nil, err
	}
	s := &loads{}
	var conditions []knock.Condition
	for v := 1.0; v <= 18; v++ {
		c := knock.Condition{RPM: speed, InletPressure: air - v*inch, Mixture: 1}
		conditions = append(conditions, c)
		s.rows = append(s.rows, row{vacuum: v})
	}
	wants, err := m.Each(context.Background(), conditions, nil)
	if err != nil {
		return nil, err
	}
	for i := range s.rows {
		s.rows[i].want = wants[i]
		if s.rows[i].cycle, err = m.Cycle(conditions[i], wants[i].MBT); err != nil {
			return nil, err
		}
	}
	return s, nil
}

func (s *loads) print(out io.Writer) {
	fmt.Fprintf(out, "%.0f rpm, stoichiometric: what lighter load asks for\n", speed)
	for i := 0; i < len(s.rows); i += 3 {
		r := s.rows[i]
		limit := fmt.Sprintf("trace knock near %.0f (%.0f to %.0f)", r.want.KLSA, r.want.KLSALow, r.want.KLSAHigh)
		if !r.want.KnockLimited {
			limit = fmt.Sprintf("no knock found to %.0f (band from %.0f)", r.want.KLSA, r.want.KLSALow)
		}
		fmt.Fprintf(out, "%2.0f inHg: best %.0f (%.0f to %.0f) deg BTDC, %.0f more than at 1 inHg; 0-90 %% burned in %.0f deg, %.0f %% burned gas; %s\n",
			r.vacuum, r.want.MBT, r.want.MBTLow, r.want.MBTHigh, r.want.MBT-s.rows[0].want.MBT, r.cycle.Develop+r.cycle.Rapid, 100*r.cycle.Residual, limit)
	}
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
}

func (s *loads) figures() ([]figure.Figure, error) {
	spark := figure.New("Lighter load wants more spark and bears it: 2400 rpm, stoichiometric", "manifold vacuum, inHg", "spark, deg before top centre")
	if err := band(spark, "best torque", figure.BestTorque, figure.TorqueBand, s.rows, func(w knock.SparkRequirement) (float64, float64, float64) { return w.MBTLow, w.MBT, w.MBTHigh }, func(knock.SparkRequirement) bool { return true }); err != nil {
		return nil, err
	}
	if err := band(spark, "knock limit", figure.KnockLimit, figure.KnockBand, s.rows, func(w knock.SparkRequirement) (float64, float64, float64) { return w.KLSALow, w.KLSA, w.KLSAHigh }, func(w knock.SparkRequirement) bool { return w.KnockLimited }); err != nil {
		return nil, err
	}
	spark.Add(plotter.NewGrid())
	spark.X.Tick.Marker = ticks
	spark.Legend.Top, spark.Legend.Left = true, true

	why := figure.New("Why: the thin, diluted charge burns slowly", "manifold vacuum, inHg", "crank deg, or % of the charge")
	for _, k := range []struct {
		name   string
		colour color.Color
		read   func(*knock.Cycle) float64
	}{
		{"spark to 10 % burned, deg", figure.Blue, func(c *knock.Cycle) float64 { return c.Develop }},
		{"10 to 90 % burned, deg", figure.Green, func(c *knock.Cycle) float64 { return c.Rapid }},
		{"burned gas in the charge, %", figure.Purple, func(c *knock.Cycle) float64 { return 100 * c.Residual }},
	} {
		var line plotter.XYs
		for _, r := range s.rows {
			line = append(line, plotter.XY{X: r.vacuum, Y: k.read(r.cycle)})
		}
		l, err := plotter.NewLine(line)
		if err != nil {
			return nil, err
		}
		l.Color, l.Width = k.colour, vg.Points(1.8)
		why.Add(l)
		why.Legend.Add(k.name, l)
	}
	why.Add(plotter.NewGrid())
	why.X.Tick.Marker = ticks
	why.Y.Min = 0
	why.Legend.Top, why.Legend.Left = true, true
	return []figure.Figure{{Name: "part-load-spark", Plot: spark}, {Name: "part-load-burn", Plot: why}}, nil
}

// ticks are whole inches of mercury.
var ticks = plot.ConstantTicks{{Value: 3, Label: "3"}, {Value: 6, Label: "6"}, {Value: 9, Label: "9"}, {Value: 12, Label: "12"}, {Value: 15, Label: "15"}, {Value: 18, Label: "18"}}

// band draws the band of a value, and the value as a line where there is one: where no
// knock was found, the band reaches up to the highest spark searched.
func band(p *figure.Plot, name string, style figure.Style, tint color.NRGBA, rows []row, read func(knock.SparkRequirement) (lo, mid, hi float64), has func(knock.SparkRequirement) bool) error {
	var line, outline, lower plotter.XYs
	for _, r := range rows {
		lo, mid, hi := read(r.want)
		if has(r.want) {
			line = append(line, plotter.XY{X: r.vacuum, Y: mid})
		}
		outline = append(outline, plotter.XY{X: r.vacuum, Y: hi})
		lower = append(lower, plotter.XY{X: r.vacuum, Y: lo})
	}
	for i := len(lower) - 1; i >= 0; i-- {
		outline = append(outline, lower[i])
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
