package plots

import (
	"bytes"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/internal/figure"

	_ "gonum.org/v1/plot/vg/vgsvg" // what Draw asks for by "svg"
)

// The tints of the two bands.
var (
	rust = color.NRGBA{R: 213, G: 94, B: 0, A: 28}
	pale = color.NRGBA{R: 0, G: 114, B: 178, A: 45}
)

// Draw returns the picture of [Curves] as a file of the given format, 24 cm by
// 15 cm. "svg" is always known; a program that wants another format of
// gonum/plot, such as "png", imports its back-end
// (gonum.org/v1/plot/vg/vgimg). An unknown format is an error.
func Draw(r *job.Report, format string) ([]byte, error) {
	p, err := Curves(r)
	if err != nil {
		return nil, err
	}
	w, err := p.WriterTo(figure.Width, figure.Height, format)
	if err != nil {
		return nil, fmt.Errorf("curves as %s: %w", format, err)
	}
	var b bytes.Buffer
	if _, err := w.WriteTo(&b); err != nil {
		return nil, fmt.Errorf("curves as %s: %w", format, err)
	}
	return b.Bytes(), nil
}

// points are the readings of a report, none where it has none.
func points(r *job.Report) []job.ReadPoint {
	if r.Readings == nil {
		return nil
	}
	return r.Readings.Points
}

// Curves draws the present curve with its readings, the new curve for rising and
// falling speed with the window that the light must show, best torque and the
// knock limit with its band: advance in crank degrees before top centre over
// engine speed in rpm. What the report does not hold is left out.
func Curves(r *job.Report) (*plot.Plot, error) {
	p := figure.New(r.Title, "engine speed, rpm", "spark advance, crank degrees before top centre")
	p.Legend.Top, p.Legend.Left = true, true // the corner where no curve runs
	p.Legend.XOffs, p.Legend.YOffs = vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())

	pick := func(of func(job.CurveRow) *float64) plotter.XYs {
		var xys plotter.XYs
		for _, row := range r.Curves {
			if y := of(row); y != nil {
				xys = append(xys, plotter.XY{X: row.RPM, Y: *y})
			}
		}
		return xys
	}
	for _, b := range []struct {
		name      string
		low, high func(job.CurveRow) *float64
		colour    color.Color
	}{
		{"trace knock, 90 % band", func(c job.CurveRow) *float64 { return c.LimitLow }, func(c job.CurveRow) *float64 { return c.LimitHigh }, rust},
		{"new curve, window of the light", func(c job.CurveRow) *float64 { return c.Low }, func(c job.CurveRow) *float64 { return c.High }, pale},
	} {
		ring, high := pick(b.low), pick(b.high)
		if len(ring) == 0 {
			continue
		}
		slices.Reverse(high)
		area, err := plotter.NewPolygon(append(ring, high...))
		if err != nil {
			return nil, err
		}
		area.Color, area.LineStyle.Width = b.colour, 0
		p.Add(area)
		p.Legend.Add(b.name, area)
	}
	for _, l := range []struct {
		name   string
		of     func(job.CurveRow) *float64
		colour color.Color
		width  vg.Length
		dashes []vg.Length
	}{
		{"trace knock, best estimate", func(c job.CurveRow) *float64 { return c.Limit }, figure.Orange, 1.5, []vg.Length{6, 3}},
		{"best torque", func(c job.CurveRow) *float64 { return c.MBT }, figure.Green, 1.5, []vg.Length{2, 3}},
		{"present curve, fitted", func(c job.CurveRow) *float64 { return c.Present }, figure.Grey, 1.5, nil},
		{"new curve, falling", func(c job.CurveRow) *float64 { return c.Falling }, figure.Blue, 0.75, nil},
		{"new curve, rising", func(c job.CurveRow) *float64 { return c.Rising }, figure.Blue, 2.5, nil},
	} {
		xys := pick(l.of)
		if len(xys) < 2 {
			continue
		}
		line, err := plotter.NewLine(xys)
		if err != nil {
			return nil, err
		}
		line.Color, line.Width, line.Dashes = l.colour, vg.Points(float64(l.width)), l.dashes
		p.Add(line)
		p.Legend.Add(l.name, line)
	}
	var light, hose plotter.XYs
	for _, x := range points(r) {
		if xy := (plotter.XY{X: x.RPM, Y: x.Degrees}); x.Hose {
			hose = append(hose, xy)
		} else {
			light = append(light, xy)
		}
	}
	for _, s := range []struct {
		name  string
		at    plotter.XYs
		shape draw.GlyphDrawer
	}{{"readings", light, draw.RingGlyph{}}, {"readings, hose on", hose, draw.PyramidGlyph{}}} {
		if len(s.at) == 0 {
			continue
		}
		points, err := plotter.NewScatter(s.at)
		if err != nil {
			return nil, err
		}
		points.GlyphStyle = draw.GlyphStyle{Color: figure.Grey, Radius: vg.Points(3), Shape: s.shape}
		p.Add(points)
		p.Legend.Add(s.name, points)
	}

	// Nobody sets more than a few degrees above the highest of these curves.
	p.X.Min, p.Y.Min, p.Y.Max = 0, 0, 0
	for _, row := range r.Curves {
		for _, y := range []*float64{row.Present, row.High, row.MBT} {
			if y != nil {
				p.Y.Max = max(p.Y.Max, *y+5)
			}
		}
		p.X.Max = max(p.X.Max, row.RPM)
	}
	for _, x := range append(light, hose...) {
		p.X.Max, p.Y.Max = max(p.X.Max, x.X), max(p.Y.Max, x.Y+5)
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = every(500, 1000), every(5, 10)
	return p, nil
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
