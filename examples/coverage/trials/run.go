package trials

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/valid"
	"example.org/bobweight/springs/workers"
)

// Row counts one quantity over the engines of a class.
type Row struct {
	Quantity string
	// TwoSided and Held count the two-sided intervals and those that hold the truth;
	// OneSided and OneHeld likewise the one-sided limits; Unknown the engines whose
	// readings say nothing of the quantity.
	TwoSided, Held, OneSided, OneHeld, Unknown int
	Width                                      float64 // sum of the widths of the two-sided intervals
}

// Class is a kind of engine or of readings with its counts.
type Class struct {
	Name    string
	Engines int
	Rows    []Row
	// Of the good readings some are named outliers by mistake; of the sets of 8
	// readings or more with one slip that slip is found in some.
	Good, Mistaken, Slips, Found int
	holds                        func(e *engine, s *sample) bool
}

// Plan says what to simulate.
type Plan struct {
	Engines  int    // 1 to 1,000,000
	Seed     uint64 // of the simulation
	Readings int    // of each engine, 4 to 100; 0 means 6, 8, 12 or 20 at random
}

// Table is the outcome of a run: the first class holds all engines.
type Table struct {
	Plan
	Classes []Class
}

// row is one quantity of the table with its estimate and truth.
type row struct {
	name string
	of   func(r *readings.Result) (readings.Estimate, error)
	is   func(e *engine) float64
}

// rows are the quantities of the table, in order.
var rows = []row{
	{"static timing", func(r *readings.Result) (readings.Estimate, error) { return r.Static, nil }, func(e *engine) float64 { return e.Static }},
	{"start", func(r *readings.Result) (readings.Estimate, error) { return r.Start, nil }, func(e *engine) float64 { return e.Start }},
	{"all-in", func(r *readings.Result) (readings.Estimate, error) { return r.AllIn, nil }, func(e *engine) float64 { return e.AllIn }},
	{"travel", func(r *readings.Result) (readings.Estimate, error) { return r.Travel, nil }, func(e *engine) float64 { return e.Travel }},
	{"total", func(r *readings.Result) (readings.Estimate, error) { return r.Total, nil }, func(e *engine) float64 { return e.Static + e.Travel }},
	at(800), at(1400), at(2000), at(3000),
}

func at(rpm float64) row {
	return row{
		fmt.Sprintf("advance at %.0f rpm", rpm),
		func(r *readings.Result) (readings.Estimate, error) { return r.Band(rpm) },
		func(e *engine) float64 { return e.advance(rpm) },
	}
}

// classes returns the classes of the table without their counts.
func classes() []Class {
	out := []Class{
		{Name: "all", holds: func(*engine, *sample) bool { return true }},
		{Name: "one stage", holds: func(e *engine, _ *sample) bool { return !e.TwoStage }},
		{Name: "two stages", holds: func(e *engine, _ *sample) bool { return e.TwoStage }},
	}
	for _, n := range counts {
		out = append(out, Class{Name: fmt.Sprintf("%d readings", n), holds: func(_ *engine, s *sample) bool { return len(s.Readings) == n }})
	}
	out = append(out,
		Class{Name: "start unseen", holds: func(_ *engine, s *sample) bool { return !s.StartSeen }},
		Class{Name: "stop unseen", holds: func(_ *engine, s *sample) bool { return !s.StopSeen }})
	for i := range out {
		out[i].Rows = make([]Row, len(rows))
		for k, q := range rows {
			out[i].Rows[k].Quantity = q.name
		}
	}
	return out
}

// outcome is one engine with what the fit of its readings says.
type outcome struct {
	engine   *engine
	sample   sample
	said     []readings.Estimate
	outliers []int
}

// Run simulates engines, fits readings of each and counts. Engine k has its own
// generator seeded by seed and k, so that the table does not depend on how many
// processors share the work. progress, if not nil, is called from one goroutine at a
// time. It returns the context's error if that ends first, and any error of a fit.
func Run(ctx context.Context, p Plan, progress func(done, total int)) (Table, error) {
	if p.Engines < 1 || p.Engines > 1e6 {
		return Table{}, fmt.Errorf("%w: number of engines is %d, valid is 1 to 1000000", valid.ErrRange, p.Engines)
	}
	if p.Readings != 0 && (p.Readings < 4 || p.Readings > 100) {
		return Table{}, fmt.Errorf("%w: number of readings is %d, valid is 4 to 100, or 0 for 6, 8, 12 or 20", valid.ErrRange, p.Readings)
	}
	all, err := workers.Map(ctx, workers.Pool{Progress: progress}, p.Engines, func(k int) (outcome, error) {
		return simulate(ctx, p, k)
	})
	if err != nil {
		return Table{}, err
	}
	t := Table{Plan: p, Classes: classes()}
	for i := range t.Classes {
		for k := range all {
			if t.Classes[i].holds(all[k].engine, &all[k].sample) {
				t.Classes[i].add(&all[k])
			}
		}
	}
	return t, nil
}

// simulate makes engine k and fits its readings.
func simulate(ctx context.Context, p Plan, k int) (outcome, error) {
	rng := rand.New(rand.NewPCG(p.Seed, uint64(k)))
	o := outcome{engine: draw(rng)}
	o.sample = o.engine.take(rng, p.Readings)
	r, err := readings.Fit(ctx, o.sample.Readings, nil)
	if err != nil {
		return o, fmt.Errorf("engine %d: %w", k, err)
	}
	o.outliers = r.Outliers
	for _, q := range rows {
		e, err := q.of(r)
		if err != nil {
			return o, fmt.Errorf("engine %d, %s: %w", k, q.name, err)
		}
		o.said = append(o.said, e)
	}
	return o, nil
}

// add counts an engine of the class.
func (c *Class) add(o *outcome) {
	c.Engines++
	for i, q := range rows {
		e, row, held := o.said[i], &c.Rows[i], 0
		if e.Covers(q.is(o.engine)) {
			held = 1
		}
		switch e.Bound {
		case readings.Interval:
			row.TwoSided++
			row.Held += held
			row.Width += e.High - e.Low
		case readings.Unknown:
			row.Unknown++
		default:
			row.OneSided++
			row.OneHeld += held
		}
	}
	slips := o.sample.Outliers
	c.Good += len(o.sample.Readings) - len(slips)
	for _, k := range o.outliers {
		if !slices.Contains(slips, k) {
			c.Mistaken++
		}
	}
	if len(slips) == 1 && len(o.sample.Readings) >= 8 {
		c.Slips++
		if slices.Contains(o.outliers, slips[0]) {
			c.Found++
		}
	}
}

// Write prints the table.
func (t Table) Write(w io.Writer) error {
	if w == nil {
		return errors.New("coverage: there is nowhere to write the table: the writer is nil")
	}
	each := "6, 8, 12 or 20"
	if t.Readings != 0 {
		each = fmt.Sprint(t.Readings)
	}
	if _, err := fmt.Fprintf(w, "%d simulated engines with %s readings each, seed %d\n", t.Engines, each, t.Seed); err != nil {
		return err
	}
	for _, c := range t.Classes {
		if err := c.write(w); err != nil {
			return err
		}
	}
	return nil
}

func (c *Class) write(w io.Writer) error {
	percent := func(part, of int) string {
		if of == 0 {
			return "    -"
		}
		return fmt.Sprintf("%5.1f", 100*float64(part)/float64(of))
	}
	if _, err := fmt.Fprintf(w, "\n%s: %d engines\n%-22s %9s %7s %11s %9s %7s %8s\n", c.Name, c.Engines,
		"quantity", "two-sided", "held %", "mean width", "one-sided", "held %", "unknown"); err != nil {
		return err
	}
	for _, r := range c.Rows {
		width := r.Width / math.Max(float64(r.TwoSided), 1)
		if _, err := fmt.Fprintf(w, "%-22s %9d %7s %11.2f %9d %7s %8d\n", r.Quantity, r.TwoSided, percent(r.Held, r.TwoSided), width,
			r.OneSided, percent(r.OneHeld, r.OneSided), r.Unknown); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, "single slips found among 8 readings or more: %d of %d (%s %%); good readings named by mistake: %d of %d (%s %%)\n",
		c.Found, c.Slips, percent(c.Found, c.Slips), c.Mistaken, c.Good, percent(c.Mistaken, c.Good))
	return err
}
