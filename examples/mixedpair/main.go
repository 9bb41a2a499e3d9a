// Mixedpair predicts the curve of a mixed pair of springs from runs with two equal
// pairs, on a simulated distributor whose true curve is known.
//
//	go run ./examples/mixedpair -out DIR
//
// The plot shows both runs with their readings, the prediction with its 95 % band,
// the truth, and what the mean of the two advances at equal speed would have given:
// moments add in squared speed at equal advance, not in advance at equal speed.
package main

import (
	"context"
	"fmt"
	"image/color"
	"io"
	"math/rand/v2"
	"os"

	"example.org/bobweight/advance/readings/learned"
	"example.org/bobweight/examples/internal/figure"
	"example.org/bobweight/examples/learnedparts/simulated"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

func main() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) }

func run(args []string, out, problems io.Writer) int {
	return figure.Main(args, out, problems, func() ([]figure.Figure, error) {
		s, err := newStudy()
		if err != nil {
			return nil, err
		}
		if err := s.tell(out); err != nil {
			return nil, err
		}
		f, err := s.draw()
		return []figure.Figure{f}, err
	})
}

// study is a distributor, what was read of it, and what that lets expect of the pair
// that was not fitted.
type study struct {
	truth *simulated.Distributor
	pairs [2]learned.Combination
	runs  []learned.Run
	fit   *learned.Result
	mixed *learned.Prediction
}

// speeds are those of the table, rpm.
var speeds = []float64{1000, 1500, 2000, 2500, 3000, 3500}

var mixed = simulated.Parts("ab", "")

func newStudy() (*study, error) {
	rng := rand.New(rand.NewPCG(8, 20))
	s := &study{pairs: [2]learned.Combination{simulated.Parts("aa", ""), simulated.Parts("bb", "")}}
	s.truth = simulated.Draw(rng, true, false)
	for _, pair := range s.pairs {
		s.runs = append(s.runs, s.truth.Read(rng, pair, simulated.Usual, ""))
	}
	var err error
	if s.fit, err = learned.Fit(context.Background(), s.runs, nil); err != nil {
		return nil, err
	}
	s.mixed, err = s.fit.Predict(mixed)
	return s, err
}

// tell writes the prediction beside the truth.
func (s *study) tell(w io.Writer) error {
	fmt.Fprintf(w, "%8s %22s %7s %15s\n", "rpm", "predicted, deg crank", "truth", "mean of advance")
	for _, rpm := range speeds {
		e, err := s.mixed.Advance(rpm)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%8.0f %8.1f (%4.1f to %4.1f) %7.1f %15.1f\n", rpm, e.Value, e.Low, e.High, s.truth.Advance(mixed, rpm), s.naive(rpm))
	}
	for _, note := range s.mixed.Notes {
		fmt.Fprintln(w, note)
	}
	return nil
}

// naive is the mean of the two true advances at equal speed.
func (s *study) naive(rpm float64) float64 {
	return (s.truth.Advance(s.pairs[0], rpm) + s.truth.Advance(s.pairs[1], rpm)) / 2
}

const top = 4200 // rpm

func (s *study) draw() (figure.Figure, error) {
	none := figure.Figure{}
	p := figure.New("A pair of springs that was never fitted, from runs with two others", "engine speed, rpm", "mechanical advance, deg crank")
	figure.Frame(p, [3]float64{400, 4400, 400}, [3]float64{-4, 44, 4})
	p.Legend.Top, p.Legend.Left = true, true
	var band, predicted, truth, naive plotter.XYs
	var back plotter.XYs
	for rpm := 600.0; rpm <= top; rpm += 20 {
		e, err := s.mixed.Advance(rpm)
		if err != nil {
			return none, err
		}
		band, back = append(band, plotter.XY{X: rpm, Y: e.Low}), append(back, plotter.XY{X: rpm, Y: e.High})
		predicted = append(predicted, plotter.XY{X: rpm, Y: e.Value})
		truth = append(truth, plotter.XY{X: rpm, Y: s.truth.Advance(mixed, rpm)})
		naive = append(naive, plotter.XY{X: rpm, Y: s.naive(rpm)})
	}
	for i := len(back) - 1; i >= 0; i-- {
		band = append(band, back[i])
	}
	area, err := plotter.NewPolygon(band)
	if err != nil {
		return none, err
	}
	light := figure.Green
	light.A = 60
	area.Color, area.LineStyle.Width = light, 0
	p.Add(area)
	for i, c := range []color.Color{figure.Blue, figure.Orange} {
		if err := s.drawRun(p, i, c); err != nil {
			return none, err
		}
	}
	if err := figure.Line(p, "predicted: one of each, with its 95 % band", predicted, figure.Green); err != nil {
		return none, err
	}
	if err := figure.Line(p, "one of each, true", truth, figure.Grey, vg.Points(2), vg.Points(3)); err != nil {
		return none, err
	}
	if err := figure.Line(p, "mean of advances at equal speed: wrong", naive, figure.Purple, vg.Points(6), vg.Points(4)); err != nil {
		return none, err
	}
	return figure.Figure{Name: "mixed-pair", Plot: p}, nil
}

// drawRun draws a run's readings above its static timing as fitted, and its curve.
func (s *study) drawRun(p *figure.Plot, i int, c color.Color) error {
	pred, err := s.fit.Predict(s.pairs[i])
	if err != nil {
		return err
	}
	static := s.fit.Statics[i].Value
	var points, curve plotter.XYs
	for _, r := range s.runs[i].Readings {
		points = append(points, plotter.XY{X: r.RPM, Y: r.Degrees - static})
	}
	for rpm := 600.0; rpm <= top; rpm += 20 {
		e, err := pred.Advance(rpm)
		if err != nil {
			return err
		}
		curve = append(curve, plotter.XY{X: rpm, Y: e.Value})
	}
	dots, err := plotter.NewScatter(points)
	if err != nil {
		return err
	}
	dots.GlyphStyle = draw.GlyphStyle{Color: c, Radius: vg.Points(4), Shape: draw.CircleGlyph{}}
	p.Add(dots)
	return figure.Line(p, fmt.Sprintf("read: two of %q", s.pairs[i].Springs[0]), curve, c)
}
