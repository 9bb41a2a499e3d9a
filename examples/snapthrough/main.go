// Snapthrough shows a mechanism that is unstable in the middle of its travel: its
// weights jump, and rising and falling speed give two different curves.
//
//	go run ./examples/snapthrough -out DIR
//
// The springs' line of pull comes so near the pivots that, over a part of the
// swing, their moment grows more slowly than that of the weights. The speed of
// balance then falls with the swing (first plot). A rising sweep jumps across to
// where a third spring is taken up, a falling one jumps back at a lower speed
// (second plot): the timing light shows a step, and a step at another speed on
// the way down. Dry friction, drawn with
// it, parts the two further.
//
// A jump of many degrees can carry an engine into knock at once. A curve with a
// step belongs on the bench, not on the road.
package main

import (
	"fmt"
	"io"
	"math"
	"os"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs"
)

const drive = advance.FourStroke

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		m := mechanism()
		c, err := m.Curve(nil)
		if err != nil {
			return nil, err
		}
		for _, dir := range []flyweights.Direction{flyweights.Rising, flyweights.Falling} {
			fmt.Fprintf(out, "%s\n", dir)
			for _, e := range c.Events(dir) {
				fmt.Fprintf(out, "  %-6s at %4.0f rpm crank, %4.1f to %4.1f deg crank: %s\n",
					e.Kind, drive.RPM(e.Omega), drive.CrankDegrees(e.Theta), drive.CrankDegrees(e.ToTheta), e.Cause)
			}
		}
		return figures(m, c)
	})
}

// mechanism is a scenario of our own: two equal springs that come near the pivots
// and a stiff one with 7 mm of play.
func mechanism() *flyweights.Mechanism {
	m := &flyweights.Mechanism{Linkage: flyweights.Ratio{K: 0.5}, Stop: 0.5}
	for i, s := range []float64{1, -1} {
		m.Weights = append(m.Weights, flyweights.Weight{
			Mass: 0.030, Pivot: r2.Vec{X: s * 0.025}, Centre: r2.Vec{X: s * 0.008, Y: s * -0.016}, Inertia: 4e-6,
		})
		m.Springs = append(m.Springs, flyweights.Spring{
			Law: springs.Spring{Rate: 1500, FreeLength: 0.0253},
			A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: s * 0.0171, Y: s * 0.0108}},
			B:   flyweights.Anchor{Body: flyweights.OnWeight(i), Point: r2.Vec{X: s * 0.014, Y: s * -0.018}},
		})
	}
	m.Springs = append(m.Springs, flyweights.Spring{
		Law: springs.Spring{Rate: 9000, FreeLength: 0.020, Slack: 0.007},
		A:   flyweights.Anchor{Body: flyweights.Plate, Point: r2.Vec{X: -0.012, Y: -0.003}},
		B:   flyweights.Anchor{Body: flyweights.OnWeight(0), Point: r2.Vec{Y: -0.018}},
	})
	return m
}

func figures(m *flyweights.Mechanism, c *flyweights.Curve) ([]figure.Figure, error) {
	balance, err := balancePlot(m)
	if err != nil {
		return nil, err
	}
	sweeps, err := sweepPlot(m, c)
	return []figure.Figure{{Name: "snap-balance", Plot: balance}, {Name: "snap-advance", Plot: sweeps}}, err
}

const slowest, fastest = 1150, 1350 // rpm crank

// balancePlot draws the speed of balance over the advance: where it falls the
// mechanism cannot stay.
func balancePlot(m *flyweights.Mechanism) (*figure.Plot, error) {
	p := figure.New("Speed of balance", "advance, crank degrees", "engine speed, rpm")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	var xys plotter.XYs
	const points = 500
	for i := range points + 1 {
		b := m.State(m.Stop*float64(i)/points, 0, nil)
		xys = append(xys, plotter.XY{X: drive.CrankDegrees(b.Theta), Y: drive.RPM(math.Sqrt(b.Restore / b.Weights))})
	}
	err := figure.Line(p, "weights and springs in balance, no friction", xys, figure.Blue)
	figure.Frame(p, [3]float64{0, 16, 2}, [3]float64{1200, 1300, 20})
	return p, err
}

// sweepPlot draws both sweeps, without friction and with some.
func sweepPlot(m *flyweights.Mechanism, c *flyweights.Curve) (*figure.Plot, error) {
	p := figure.New("Rising and falling speed", "engine speed, rpm", "mechanical advance, crank degrees")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	rough := *m
	rough.Friction = flyweights.Friction{Proportion: 0.04}
	r, err := rough.Curve(nil)
	if err != nil {
		return nil, err
	}
	for _, line := range []struct {
		name  string
		curve *flyweights.Curve
		dir   flyweights.Direction
	}{
		{"rising", c, flyweights.Rising}, {"falling", c, flyweights.Falling},
		{"rising, 4 % friction", r, flyweights.Rising}, {"falling, 4 % friction", r, flyweights.Falling},
	} {
		var xys plotter.XYs
		for n := float64(slowest); n <= fastest; n++ {
			xys = append(xys, plotter.XY{X: n, Y: drive.CrankDegrees(line.curve.Theta(drive.Omega(n), line.dir))})
		}
		style := figure.NewCurve
		if line.dir == flyweights.Falling {
			style = figure.Falling
		}
		if line.curve == r {
			style.Dashes = []float64{3, 3}
		}
		if err := style.Curve(p, line.name, xys); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{slowest, fastest, 50}, [3]float64{0, 20, 2})
	return p, nil
}
