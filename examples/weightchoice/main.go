// Weightchoice shows what heavier, lighter and ground weights do to an advance
// curve with the springs left alone.
//
//	go run ./examples/weightchoice -out DIR
//
// Mass scales every speed of the curve by the same factor, the inverse of its
// square root; material taken off the far end moves the centre of mass as well.
// An unequal pair behaves as the mean of its moments, for the cam ties the
// weights together. The table says what 1 % more of each number does at 1500 rpm
// of the engine.
//
// Keep a pair matched in weight: an unequal one shakes the shaft. A ground or
// drilled weight must stay strong enough for the highest speed; one that comes
// loose wrecks the distributor and the timing with it.
package main

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"os"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.org/bobweight/advance"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/internal/pair"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/sensitivity"
)

const drive = advance.FourStroke

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		cs, err := choices()
		if err != nil {
			return nil, err
		}
		for _, c := range cs {
			fmt.Fprintf(out, "%-38s starts at %4.0f, all in at %4.0f rpm crank\n", c.name,
				drive.RPM(c.curve.Start(flyweights.Rising)), drive.RPM(c.curve.AllIn(flyweights.Rising)))
		}
		if err := percent(out); err != nil {
			return nil, err
		}
		p, err := draw(cs)
		return []figure.Figure{{Name: "weight-choice", Plot: p}}, err
	})
}

// choice is one set of weights in the same mechanism.
type choice struct {
	name  string
	curve *flyweights.Curve
}

// choices changes the weights of the pair in five ways.
func choices() ([]choice, error) {
	var out []choice
	for _, w := range []struct {
		name   string
		change func([]flyweights.Weight)
	}{
		{"30 g as they are", func([]flyweights.Weight) {}},
		{"36 g, same shape", func(w []flyweights.Weight) { w[0].Mass, w[1].Mass = 0.036, 0.036 }},
		{"24 g, same shape", func(w []flyweights.Weight) { w[0].Mass, w[1].Mass = 0.024, 0.024 }},
		{"2 g ground off each far end", func(w []flyweights.Weight) { grind(&w[0]); grind(&w[1]) }},
		{"one of 36 g, one of 24 g", func(w []flyweights.Weight) { w[0].Mass, w[1].Mass = 0.036, 0.024 }},
	} {
		m := pair.New()
		w.change(m.Weights)
		c, err := m.Curve(nil)
		if err != nil {
			return nil, err
		}
		out = append(out, choice{w.name, c})
	}
	return out, nil
}

// grind takes 2 g off the end of a weight, 12 mm beyond its centre of mass as
// seen from the pivot.
func grind(w *flyweights.Weight) {
	const gone, beyond = 0.002, 0.012
	arm := r2.Sub(w.Centre, w.Pivot)
	end := r2.Add(w.Centre, r2.Scale(beyond, r2.Unit(arm)))
	left := w.Mass - gone
	w.Centre = r2.Scale(1/left, r2.Sub(r2.Scale(w.Mass, w.Centre), r2.Scale(gone, end)))
	w.Mass = left
}

// percent writes the ten numbers of which 1 % moves the advance most.
func percent(out io.Writer) error {
	const at = 1500. // rpm crank
	s, err := sensitivity.At(pair.New(), drive.Omega(at), flyweights.Rising)
	if err != nil {
		return err
	}
	sort.SliceStable(s, func(i, j int) bool { return math.Abs(s[i].Percent) > math.Abs(s[j].Percent) })
	fmt.Fprintf(out, "what 1 %% more does at %.0f rpm crank\n", at)
	for _, x := range s[:10] {
		fmt.Fprintf(out, "  %-26s %+.2f deg crank\n", x.Name, drive.CrankDegrees(x.Percent))
	}
	return nil
}

// styles are how the choices are drawn. The unequal pair covers the first line.
var styles = []struct {
	colour color.Color
	dashes []vg.Length
}{{figure.Blue, nil}, {figure.Orange, nil}, {figure.Green, nil}, {figure.Purple, []vg.Length{8, 3}}, {figure.Grey, []vg.Length{3, 5}}}

func draw(cs []choice) (*figure.Plot, error) {
	p := figure.New("Weights, springs unchanged", "engine speed, rpm", "mechanical advance, crank degrees")
	p.Legend.Top, p.Legend.Left, p.Legend.XOffs, p.Legend.YOffs = true, true, vg.Points(8), -vg.Points(4)
	p.Add(plotter.NewGrid())
	for i, c := range cs {
		var xys plotter.XYs
		for n := 500.0; n <= 3500; n += 5 {
			xys = append(xys, plotter.XY{X: n, Y: drive.CrankDegrees(c.curve.Theta(drive.Omega(n), flyweights.Rising))})
		}
		if err := figure.Line(p, c.name, xys, styles[i].colour, styles[i].dashes...); err != nil {
			return nil, err
		}
	}
	figure.Frame(p, [3]float64{500, 3500, 500}, [3]float64{0, 28, 4})
	return p, nil
}
