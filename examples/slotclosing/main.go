// Slotclosing shows how closing up the slot that ends the advance lets the static
// timing be raised while the total stays where it was.
//
//	go run ./examples/slotclosing -out DIR
//
// The slot's arc length, the pin and the radius of its centre line give the
// travel; how much to close follows for every wanted travel. With less travel the
// same total needs more static timing, which the engine has at idle and low
// speed, and it is all in earlier; the curve up to there is only lifted. A table
// says what each change of the slot is worth: a tenth of a millimetre, as one may
// well err in a worn slot, is over half a degree.
//
// More static timing is harder on the starter, can kick back, and changes what
// emission rules fixed: local law decides whether it may be done on the road.
package main

import (
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
)

const drive = advance.FourStroke

// slot is the pair's as found; total is what the engine shall have in the end,
// crank degrees.
var slot = flyweights.Slot{Length: 0.01015, Pin: 0.0064, Radius: 0.0190}

const total = 34.

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		cs, err := closings()
		if err != nil {
			return nil, err
		}
		for _, c := range cs {
			fmt.Fprintf(out, "travel %4.1f deg crank: close %.2f mm, static %4.1f deg crank, all in at %4.0f rpm crank; 0.1 mm of slot is worth %.1f deg crank\n",
				c.travel, c.closing*1e3, total-c.travel, drive.RPM(c.curve.AllIn(flyweights.Rising)), c.perTenth)
		}
		p, err := draw(cs)
		return []figure.Figure{{Name: "slot-closing", Plot: p}}, err
	})
}

// closing is a travel with what it takes.
type closing struct {
	travel   float64 // crank degrees
	closing  float64 // m of slot
	perTenth float64 // crank degrees of a tenth of a millimetre
	curve    *flyweights.Curve
}

// closings goes from the slot as found to shorter travels.
func closings() ([]closing, error) {
	open, err := slot.Travel()
	if err != nil {
		return nil, err
	}
	var out []closing
	for _, travel := range []float64{drive.CrankDegrees(open), 18, 14, 10} {
		theta := drive.ShaftRadians(travel)
		shorter, err := slot.Closing(theta)
		if err != nil {
			return nil, err
		}
		m := pair.New()
		if m.Stop, err = flyweights.Swing(m.Linkage, theta); err != nil {
			return nil, err
		}
		c, err := m.Curve(nil)
		if err != nil {
			return nil, err
		}
		out = append(out, closing{travel, shorter, drive.CrankDegrees(1e-4 / slot.Radius), c})
	}
	return out, nil
}

// styles are how the travels are drawn, from the open slot on.
var styles = []struct {
	colour color.Color
	dashes []vg.Length
}{{figure.Blue, nil}, {figure.Green, []vg.Length{8, 3}}, {figure.Purple, []vg.Length{3, 3}}, {figure.Orange, []vg.Length{10, 3, 2, 3}}}

func draw(cs []closing) (*figure.Plot, error) {
	p := figure.New(fmt.Sprintf("One total of %.0f crank degrees, four slots", total), "engine speed, rpm", "static and mechanical advance, crank degrees")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = false, false, -vg.Points(8), vg.Points(8)
	p.Add(plotter.NewGrid())
	for i, c := range cs {
		var xys plotter.XYs
		for n := 400.0; n <= 3200; n += 5 {
			xys = append(xys, plotter.XY{X: n, Y: total - c.travel + drive.CrankDegrees(c.curve.Theta(drive.Omega(n), flyweights.Rising))})
		}
		name := fmt.Sprintf("travel %.0f, static %.0f, slot closed by %.1f mm", c.travel, total-c.travel, c.closing*1e3)
		if err := figure.Line(p, name, xys, styles[i].colour, styles[i].dashes...); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{400, 3200, 400}, [3]float64{0, 40, 5})
	return p, nil
}
