package plots

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/internal/figure"

	_ "gonum.org/v1/plot/vg/vgsvg" // what Draw asks for by "svg"
)

// Draw returns the picture of [Curves] as a file of the given format, 24 cm by
// 15 cm. "svg" is always known; a program that wants another format of
// gonum/plot, such as "png", imports its back-end
// (gonum.org/v1/plot/vg/vgimg). An unknown format is an error.
func Draw(r *job.Report, format string) ([]byte, error) {
	p, err := curves(r)
	if err != nil {
		return nil, err
	}
	return p.File(format)
}

// points are the readings of a report, none where it has none.
func points(r *job.Report) []job.ReadPoint {
	if r.Readings == nil {
		return nil
	}
	return r.Readings.Points
}

// Curves draws the present curve with its readings, the new curve for rising and
// falling speed with the window that the light must show, best torque and the knock
// limit with its band: advance in crank degrees before top centre over engine speed in
// rpm. Where no knock was met the band goes on as the least that the limit can be.
// Each line is named at its end. What the report does not hold is left out.
func Curves(r *job.Report) (*plot.Plot, error) {
	p, err := curves(r)
	if err != nil {
		return nil, err
	}
	return p.Plot, nil
}

func curves(r *job.Report) (*figure.Plot, error) {
	p := figure.New(r.Title, "engine speed, rpm", "spark advance, crank degrees before top centre")
	p.Legend.Top, p.Legend.Left = true, true // the corner where no curve runs
	p.Legend.XOffs, p.Legend.YOffs = vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	frame(p, r)
	d := &drawn{p: p, r: r}
	for _, step := range []func() error{d.knock, d.window, d.lines, d.readings} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	// An axis without end would be numbered without end.
	if p.X.Max > 1e5 || p.Y.Min < -1e3 || p.Y.Max > 1e3 {
		return nil, fmt.Errorf("plots: the report reaches %.6g rpm and %.6g to %.6g deg crank, valid is at most 1e5 rpm and -1000 to 1000 deg crank", p.X.Max, p.Y.Min, p.Y.Max)
	}
	// The names take a quarter of the width.
	shown := p.X.Max
	d.ends.On(p, 0.33)
	step := 500.0
	if shown < 2500 {
		step = 250
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = upTo(shown, every(step, 2*step)), every(5, 10)
	return p, nil
}

// frame sets the range of the axes: nothing but the upper edge of a band leaves it.
func frame(p *figure.Plot, r *job.Report) {
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, 0, 0, 0
	up := func(x float64, ys ...*float64) {
		p.X.Max = max(p.X.Max, x)
		for _, y := range ys {
			if y != nil {
				p.Y.Max, p.Y.Min = max(p.Y.Max, *y+5), min(p.Y.Min, *y-2)
			}
		}
	}
	for _, row := range r.Curves {
		up(row.RPM, row.Present, row.Low, row.High, row.Rising, row.MBT, row.Limit)
	}
	for _, w := range want(r) {
		up(w.RPM, &w.LimitLow)
	}
	for _, x := range points(r) {
		up(x.RPM, &x.Degrees)
	}
}

// want is what the engine wants and tolerates, nothing where the report does not say.
func want(r *job.Report) []job.WantRow {
	if r.Engine == nil {
		return nil
	}
	return r.Engine.Want
}

// drawn is a plot that takes shape.
type drawn struct {
	p    *figure.Plot
	r    *job.Report
	ends figure.EndLabels
}

// pick is one of the curves, where it is known.
func (d *drawn) pick(of func(job.CurveRow) *float64) plotter.XYs {
	var xys plotter.XYs
	for _, row := range d.r.Curves {
		if y := of(row); y != nil {
			xys = append(xys, plotter.XY{X: row.RPM, Y: *y})
		}
	}
	return xys
}

// line draws a line and names its end, unless it has no name.
func (d *drawn) line(name string, xys plotter.XYs, s figure.Style) error {
	if len(xys) < 2 {
		return nil
	}
	if name == "" {
		d.ends.Avoid(xys)
	} else {
		d.ends.Add(name, xys, s.Color)
	}
	return s.Curve(d.p, "", xys)
}

// knock draws the band of the knock limit. Where none was met up to the highest spark
// looked at, only its lower edge is known, and the band runs up to the frame.
func (d *drawn) knock() error {
	var low, high, least, top plotter.XYs
	rows := want(d.r)
	for i, w := range rows {
		at := plotter.XY{X: w.RPM, Y: w.LimitLow}
		open := !w.Limited
		if open || i > 0 && !rows[i-1].Limited || i+1 < len(rows) && !rows[i+1].Limited {
			least, top = append(least, at), append(top, plotter.XY{X: w.RPM, Y: d.p.Y.Max})
		}
		if !open {
			low, high = append(low, at), append(high, plotter.XY{X: w.RPM, Y: min(w.LimitHigh, d.p.Y.Max)})
		}
	}
	return errors.Join(
		figure.Area(d.p, "knock limit, 90 % band", low, high, figure.KnockBand),
		figure.Area(d.p, "no knock met: the limit lies in here or above", least, top, figure.KnockOpen),
		d.line("", low, figure.KnockEdge), d.line("", high, figure.KnockEdge),
		d.line("knock limit at least", least, figure.KnockEdge),
	)
}

// window draws what the light must show.
func (d *drawn) window() error {
	return figure.Area(d.p, "new curve, window of the light",
		d.pick(func(c job.CurveRow) *float64 { return c.Low }),
		d.pick(func(c job.CurveRow) *float64 { return c.High }), figure.Window)
}

// lines draws the curves themselves.
func (d *drawn) lines() error {
	return errors.Join(
		d.line("knock limit, best estimate", d.pick(func(c job.CurveRow) *float64 { return c.Limit }), figure.KnockLimit),
		d.line("best torque", d.pick(func(c job.CurveRow) *float64 { return c.MBT }), figure.BestTorque),
		d.line("present curve, fitted", d.pick(func(c job.CurveRow) *float64 { return c.Present }), figure.Present),
		d.line("", d.pick(func(c job.CurveRow) *float64 { return c.Falling }), figure.Falling),
		d.line("new curve (thin: falling)", d.pick(func(c job.CurveRow) *float64 { return c.Rising }), figure.NewCurve),
	)
}

// readings marks what was read.
func (d *drawn) readings() error {
	for _, s := range []struct {
		name string
		is   func(job.ReadPoint) bool
		mark draw.GlyphStyle
	}{
		{"readings", func(x job.ReadPoint) bool { return !x.Hose && !x.Outlier }, figure.Reading(false)},
		{"readings, hose on", func(x job.ReadPoint) bool { return x.Hose }, figure.Reading(true)},
		{"left out: probable outlier", func(x job.ReadPoint) bool { return x.Outlier && !x.Hose }, figure.Outlier()},
	} {
		var at plotter.XYs
		for _, x := range points(d.r) {
			if s.is(x) {
				at = append(at, plotter.XY{X: x.RPM, Y: x.Degrees})
				d.ends.Avoid(at[len(at)-1:])
			}
		}
		if len(at) == 0 {
			continue
		}
		marks, err := plotter.NewScatter(at)
		if err != nil {
			return err
		}
		marks.GlyphStyle = s.mark
		d.p.Add(marks)
		d.p.Legend.Add(s.name, marks)
	}
	return nil
}

// upTo leaves ticks beyond a value out: the margin for the names has none.
func upTo(most float64, t plot.Ticker) plot.Ticker {
	return plot.TickerFunc(func(low, _ float64) []plot.Tick { return t.Ticks(low, most) })
}

// every puts a tick at each step and a number at each label.
func every(step, label float64) plot.Ticker {
	return plot.TickerFunc(func(low, high float64) []plot.Tick {
		var ticks []plot.Tick
		for v := math.Ceil(low/step) * step; v <= high; v += step {
			t := plot.Tick{Value: v}
			if math.Mod(v, label) == 0 {
				t.Label = strconv.FormatFloat(v, 'f', 0, 64)
			}
			ticks = append(ticks, t)
		}
		return ticks
	})
}
