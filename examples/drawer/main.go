// Drawer sets up one distributor from one drawer of parts for three engines, and
// shows what each effort buys.
//
//	go run ./examples/drawer -out DIR
//
// It draws efforts (torque given up over what is changed: springs, slot, both,
// everything) and a fan of the best curves for each engine, and prints the best
// recipe of each with the probability of its limits. What is best for the
// nominal parts stands close to the knock limit, so about half of the builds would
// come nearer to it than they should: the table says how much later to set them.
//
// Engines, distributor and drawer are a scenario of our own. On a real engine the
// knock limit is for the ear and the dynamometer to find, with less spark than
// this to begin with; timing may be part of its emission certification.
package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/examples/internal/figure"
)

func main() {
	os.Exit(figure.Main(os.Args[1:], os.Stdout, os.Stderr, func() ([]figure.Figure, error) { return study(os.Stdout) }))
}

// outcome is what the search and its companions say for one engine.
type outcome struct {
	engine    engine
	problem   *recipes.Problem
	result    *recipes.Result
	tolerance *recipes.Tolerance
	ladder    *recipes.Ladder
}

// study computes all engines, prints the table and draws.
func study(out io.Writer) ([]figure.Figure, error) {
	all, err := solveAll(context.Background())
	if err != nil {
		return nil, err
	}
	for i := range all {
		if err := all[i].print(out); err != nil {
			return nil, err
		}
	}
	return figures(all)
}

func solveAll(ctx context.Context) ([]outcome, error) {
	var all []outcome
	for _, e := range engines() {
		o, err := solve(ctx, e)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", e.name, err)
		}
		all = append(all, *o)
	}
	return all, nil
}

func solve(ctx context.Context, e engine) (*outcome, error) {
	p, err := problem(e)
	if err != nil {
		return nil, err
	}
	o := &outcome{engine: e, problem: p}
	if o.result, err = recipes.Search(ctx, p, &recipes.Settings{Keep: 12}); err != nil {
		return nil, err
	}
	best := &o.result.Recipes[0]
	if o.tolerance, err = p.Tolerance(ctx, best, nil); err != nil {
		return nil, err
	}
	o.ladder, err = recipes.NewLadder(ctx, p, nil, nil)
	return o, err
}

// print writes the best recipe in words and numbers.
func (o *outcome) print(out io.Writer) error {
	r, t := &o.result.Recipes[0], o.tolerance
	_, err := fmt.Fprintf(out, `%s: best of %.0f ways
  springs %s; weights %s; slot: close %.2f mm
  static %.1f, travel %.1f, total %.1f deg crank; start %.0f, all in %.0f rpm crank
  torque given up %.2f %% (95 %% of builds: %.2f to %.2f %%)
  all limits kept by %.0f %% of builds; %s
  %s
`, o.engine.name, o.result.Combinations, o.springs(), o.problem.Drawer.Weights[r.Weights].Name, r.SlotClosing,
		r.Static, r.Travel, r.Total, r.Start, r.AllIn,
		100*r.TorqueGivenUp, 100*t.Torque.Low, 100*t.Torque.High,
		100*t.JointProbability, o.risk(), o.measure())
	return err
}

// springs names the springs with their places and posts.
func (o *outcome) springs() string {
	r := &o.result.Recipes[0]
	var all []string
	for i, name := range r.SpringNames {
		place := &o.problem.Positions[i]
		all = append(all, fmt.Sprintf("%s at %s, post %s", name, place.Name, place.Posts[r.Posts[i]].Name))
	}
	return strings.Join(all, "; ")
}

// knockMargin is the name of the limit that a later setting serves.
const knockMargin = "knock margin"

// risk says which limit builds break most often, and for the knock limit how much
// static timing buys safety: its margin moves by just as much.
func (o *outcome) risk() string {
	t := o.tolerance
	worst := slices.MinFunc(t.Limits, func(a, b recipes.LimitProbability) int { return cmp.Compare(a.Probability, b.Probability) })
	says := fmt.Sprintf("most at risk: %s (%.0f %%), by the %s", worst.Limit, 100*worst.Probability, t.Main.Input)
	if worst.Limit == knockMargin && worst.Margin.Low < 0 {
		says += fmt.Sprintf("; set %.1f deg crank later, 97.5 %% keep it", -worst.Margin.Low)
	}
	return says
}

// measure says what it helps to measure before building, if anything does.
func (o *outcome) measure() string {
	const worthwhile = 0.03 // of the builds
	t := o.tolerance
	if best := t.Measure[0]; best.JointProbability > t.JointProbability+worthwhile {
		return fmt.Sprintf("to measure first: %s (then %.0f %%)", best.Part, 100*best.JointProbability)
	}
	return "no single measurement beforehand helps much: set it with the light, and go by the ear"
}
