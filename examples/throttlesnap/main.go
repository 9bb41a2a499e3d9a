// Throttlesnap shows the advance behind a throttle that is snapped open and shut:
// how far the weights lag the speed, and what dry friction leaves behind.
//
//	go run ./examples/throttlesnap -out DIR
//
// The engine goes from idle to 4000 rpm with a time constant of 0.4 s and back
// down with one of 0.8 s. Clean pivots come a few hundredths of a second late
// where the speed rises fastest, for the shaft leaves the weights behind; dry ones
// come late both ways and bring less advance going up than coming down, which is
// how a timing light finds them. A second run gives the speed the ripple of an
// engine that runs unevenly, one wave a turn of the distributor, and tells how far sparks scatter.
//
// Snap a throttle only with the vehicle chocked and out of gear, hands and
// clothes away from fan and belts, and the exhaust led outside.
package main

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"os"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/pair"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/motion"
)

const drive = advance.FourStroke

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		cs, err := courses()
		if err != nil {
			return nil, err
		}
		for _, c := range cs {
			last := len(c.run.Theta) - 1
			fmt.Fprintf(out, "%s: greatest lag %.1f deg crank opening, %.1f deg closing; %.1f deg left at the end\n",
				c.name, c.lag(0, shut), -c.lag(shut, length), drive.CrankDegrees(c.run.Theta[last]-c.steady[last]))
		}
		scatter, err := ripple()
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(out, "ripple of 4 %% at 1400 rpm crank: sparks %.2f deg crank wide, standard deviation %.2f\n",
			drive.CrankDegrees(scatter.Greatest-scatter.Least), drive.CrankDegrees(scatter.Deviation))
		return figures(cs)
	})
}

const (
	opened = 0.2 // s
	shut   = 2.0 // s
	length = 5.0 // s
	every  = 0.002
	idle   = 650.  // rpm crank
	high   = 4000. // rpm crank
)

// snap is the throttle opened and shut, as points close enough to be smooth.
func snap() (motion.SpeedProfile, error) {
	up := motion.FirstOrderLag{From: drive.Omega(idle), To: drive.Omega(high), Time: 0.4, Delay: opened}
	down := motion.FirstOrderLag{From: motion.SpeedAt(up, shut), To: drive.Omega(idle), Time: 0.8}
	var t, omega []float64
	for i := range int(length/0.02) + 1 {
		at := 0.02 * float64(i)
		w := motion.SpeedAt(up, at)
		if at > shut {
			w = motion.SpeedAt(down, at-shut)
		}
		t, omega = append(t, at), append(omega, w)
	}
	return motion.NewPoints(t, omega)
}

// course is a run beside the static curve at the same speeds.
type course struct {
	name   string
	speed  []float64 // rad/s at the samples
	run    *motion.Result
	steady []float64 // rad, clean curve at the same speed
}

// lag returns the greatest amount, in crank degrees, by which the advance is below
// the steady one between two times, or, if it is above it, the least negative.
func (c course) lag(from, to float64) float64 {
	greatest := 0.0
	for i, at := range c.run.Times {
		off := drive.CrankDegrees(c.steady[i] - c.run.Theta[i])
		if at >= from && at <= to && off*off > greatest*greatest {
			greatest = off
		}
	}
	return greatest
}

func courses() ([]course, error) {
	h, err := snap()
	if err != nil {
		return nil, err
	}
	clean, err := pair.New().Curve(nil)
	if err != nil {
		return nil, err
	}
	var out []course
	for _, c := range []struct {
		name     string
		friction flyweights.Friction
	}{{"clean pivots", flyweights.Friction{Moment: 0.001}}, {"dry pivots", flyweights.Friction{Moment: 0.02, Proportion: 0.12}}} {
		m := pair.New()
		m.Friction = c.friction
		model := &motion.Model{Mechanism: m, CamInertia: 6e-6, Damping: 0.01, Restitution: 0.2}
		r, err := model.Run(context.Background(), h, &motion.Settings{Duration: length, Every: every})
		if err != nil {
			return nil, err
		}
		k := course{name: c.name, run: r}
		for _, at := range r.Times {
			omega := motion.SpeedAt(h, at)
			k.speed = append(k.speed, omega)
			k.steady = append(k.steady, clean.Theta(omega, flyweights.Rising))
		}
		out = append(out, k)
	}
	return out, nil
}

// ripple is the scatter of sparks when every other pair of firing strokes is
// weaker: waves of one a turn of the distributor, seen by eight sparks.
func ripple() (motion.Scatter, error) {
	m := pair.New()
	m.Friction = flyweights.Friction{Moment: 0.001}
	model := &motion.Model{Mechanism: m, CamInertia: 6e-6, Damping: 0.01}
	omega := drive.Omega(1400)
	c, err := m.Curve(nil)
	if err != nil {
		return motion.Scatter{}, err
	}
	r, err := model.Run(context.Background(), motion.Ripple{Mean: omega, Depth: 0.04, PerTurn: 1},
		&motion.Settings{Duration: 3, Phi: c.Phi(omega, flyweights.Rising), Sparks: 8})
	if err != nil {
		return motion.Scatter{}, err
	}
	return motion.ScatterOf(r.Sparks, 1)
}

func figures(cs []course) ([]figure.Figure, error) {
	time, err := timePlot(cs)
	if err != nil {
		return nil, err
	}
	loop, err := loopPlot(cs)
	return []figure.Figure{{Name: "snap-time", Plot: time}, {Name: "snap-loop", Plot: loop}}, err
}

// timePlot draws the advance over time.
func timePlot(cs []course) (*figure.Plot, error) {
	p := figure.New("Throttle snapped open and shut", "time, s", "mechanical advance, crank degrees")
	p.Legend.Top, p.Legend.XOffs, p.Legend.YOffs = true, -vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	xy := func(c course, theta []float64) plotter.XYs {
		var xys plotter.XYs
		for i, at := range c.run.Times {
			xys = append(xys, plotter.XY{X: at, Y: drive.CrankDegrees(theta[i])})
		}
		return xys
	}
	if err := figure.Line(p, "steady curve at the speed of the moment", xy(cs[0], cs[0].steady), figure.Grey, 8, 3); err != nil {
		return nil, err
	}
	for i, colour := range colours {
		if err := figure.Line(p, cs[i].name, xy(cs[i], cs[i].run.Theta), colour); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{0, length, 0.5}, [3]float64{0, 28, 4})
	return p, nil
}

// colours of the two runs.
var colours = []color.Color{figure.Blue, figure.Orange}

// loopPlot draws the advance over the speed, as a light and a tachometer would.
func loopPlot(cs []course) (*figure.Plot, error) {
	p := figure.New("The same over the speed", "engine speed, rpm", "mechanical advance, crank degrees")
	p.Legend.Left, p.Legend.Top, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	for i, colour := range colours {
		var xys plotter.XYs
		for k, omega := range cs[i].speed {
			xys = append(xys, plotter.XY{X: drive.RPM(omega), Y: drive.CrankDegrees(cs[i].run.Theta[k])})
		}
		if err := figure.Line(p, cs[i].name, xys, colour); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{500, 3500, 500}, [3]float64{0, 28, 4})
	return p, nil
}
