package coverage

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"example.org/bobweight/advance/readings"
)

// Row counts one quantity over all engines.
type Row struct {
	Quantity string
	// TwoSided and Held count the two-sided intervals and those that hold the
	// truth; OneSided and OneHeld likewise the one-sided limits; Unknown the
	// engines whose readings say nothing of the quantity.
	TwoSided, Held, OneSided, OneHeld, Unknown int
	// EdgeHeld counts the one-sided limits that hold for the true curve at the
	// outermost reading, which is the least that they claim; none is counted where a
	// quantity is no part of the curve. A limit holds for all that lies beyond as well, so that OneHeld
	// is larger: of a start below the lowest reading it cannot be wrong.
	EdgeHeld int
}

// Plan says what to simulate.
type Plan struct {
	Engines  int    // 1 to 1,000,000
	Seed     uint64 // of the simulation
	Readings int    // of each engine, 4 to 100; 0 means 6 to 15 at random
}

// Table is the outcome of a run.
type Table struct {
	Plan
	Rows []Row
	// Outliers made, of them named, and good readings named by mistake, of so
	// many good readings.
	Outliers, Named, Mistaken, Good int
}

// row is one quantity of the table with its estimate and truth.
type row struct {
	name string
	of   func(r *readings.Result) (readings.Estimate, error)
	is   func(e *Engine) float64
	edge func(e *Engine, low, high float64) float64 // of the true curve between the outermost readings; nil if none
}

// rows are the quantities of the table, in order.
var rows = []row{
	{"static timing", func(r *readings.Result) (readings.Estimate, error) { return r.Static, nil }, func(e *Engine) float64 { return e.Static },
		func(e *Engine, low, high float64) float64 { return e.Advance(low) }},
	{"start", func(r *readings.Result) (readings.Estimate, error) { return r.Start, nil }, func(e *Engine) float64 { return e.Start }, nil},
	{"all-in", func(r *readings.Result) (readings.Estimate, error) { return r.AllIn, nil }, func(e *Engine) float64 { return e.AllIn }, nil},
	{"travel", func(r *readings.Result) (readings.Estimate, error) { return r.Travel, nil }, func(e *Engine) float64 { return e.Travel }, nil},
	{"total", func(r *readings.Result) (readings.Estimate, error) { return r.Total, nil }, func(e *Engine) float64 { return e.Static + e.Travel },
		func(e *Engine, low, high float64) float64 { return e.Advance(high) }},
	at(800), at(1400), at(2000), at(3000),
}

func at(rpm float64) row {
	return row{
		fmt.Sprintf("advance at %.0f rpm", rpm),
		func(r *readings.Result) (readings.Estimate, error) { return r.Band(rpm) },
		func(e *Engine) float64 { return e.Advance(rpm) },
		func(e *Engine, low, high float64) float64 { return e.Advance(math.Min(math.Max(rpm, low), high)) },
	}
}

// Run simulates engines, fits readings of each and counts. Engine k has its own
// generator seeded by seed and k, so that the table does not depend on how many
// processors share the work. progress, if not nil, is called now and then from
// one goroutine. It returns the context's error if that ends first, and any error
// of a fit.
func Run(ctx context.Context, p Plan, progress func(done, total int)) (Table, error) {
	if p.Engines < 1 || p.Engines > 1e6 {
		return Table{}, fmt.Errorf("%w: number of engines is %d, valid is 1 to 1000000", readings.ErrRange, p.Engines)
	}
	if p.Readings != 0 && (p.Readings < 4 || p.Readings > 100) {
		return Table{}, fmt.Errorf("%w: number of readings is %d, valid is 4 to 100, or 0 for 6 to 15", readings.ErrRange, p.Readings)
	}
	type outcome struct {
		t   Table
		err error
	}
	jobs, out := make(chan int), make(chan outcome)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for k := range jobs {
				t, err := one(ctx, p, k)
				out <- outcome{t, err}
			}
		})
	}
	go func() {
		for k := range p.Engines {
			jobs <- k
		}
		close(jobs)
		wg.Wait()
		close(out)
	}()
	sum := Table{Plan: p, Rows: make([]Row, len(rows))}
	for i := range rows {
		sum.Rows[i].Quantity = rows[i].name
	}
	var failed error
	done := 0
	for o := range out {
		if o.err != nil && failed == nil {
			failed = o.err
		}
		sum.add(o.t)
		done++
		if progress != nil && done%50 == 0 {
			progress(done, p.Engines)
		}
	}
	return sum, failed
}

func (t *Table) add(o Table) {
	for i, r := range o.Rows {
		t.Rows[i].TwoSided += r.TwoSided
		t.Rows[i].Held += r.Held
		t.Rows[i].OneSided += r.OneSided
		t.Rows[i].OneHeld += r.OneHeld
		t.Rows[i].Unknown += r.Unknown
		t.Rows[i].EdgeHeld += r.EdgeHeld
	}
	t.Outliers += o.Outliers
	t.Named += o.Named
	t.Mistaken += o.Mistaken
	t.Good += o.Good
}

// one simulates engine k.
func one(ctx context.Context, p Plan, k int) (Table, error) {
	rng := rand.New(rand.NewPCG(p.Seed, uint64(k)))
	e := Draw(rng)
	s := e.Sample(rng, p.Readings)
	low, high := s.span()
	r, err := readings.Fit(ctx, s.Readings, nil)
	if err != nil {
		return Table{}, fmt.Errorf("engine %d: %w", k, err)
	}
	t := Table{Rows: make([]Row, len(rows)), Outliers: len(s.Outliers), Good: len(s.Readings) - len(s.Outliers)}
	for i, q := range rows {
		est, err := q.of(r)
		if err != nil {
			return Table{}, fmt.Errorf("engine %d, %s: %w", k, q.name, err)
		}
		row, held := &t.Rows[i], 0
		if est.Covers(q.is(e)) {
			held = 1
		}
		switch est.Bound {
		case readings.Interval:
			row.TwoSided, row.Held = 1, held
		case readings.Unknown:
			row.Unknown = 1
		default:
			row.OneSided, row.OneHeld = 1, held
			if q.edge != nil && est.Covers(q.edge(e, low, high)) {
				row.EdgeHeld = 1
			}
		}
	}
	made := map[int]bool{}
	for _, b := range s.Outliers {
		made[b] = true
	}
	for _, b := range r.Outliers {
		if made[b] {
			t.Named++
		} else {
			t.Mistaken++
		}
	}
	return t, nil
}

// Write prints the table.
func (t Table) Write(w io.Writer) error {
	percent := func(part, of int) string {
		if of == 0 {
			return "    -"
		}
		return fmt.Sprintf("%5.1f", 100*float64(part)/float64(of))
	}
	each := "6 to 15"
	if t.Readings != 0 {
		each = fmt.Sprint(t.Readings)
	}
	if _, err := fmt.Fprintf(w, "%d simulated engines with %s readings each, seed %d\n%-22s %9s %7s %9s %7s %7s %8s\n", t.Engines, each, t.Seed,
		"quantity", "two-sided", "held %", "one-sided", "held %", "edge %", "unknown"); err != nil {
		return err
	}
	for i, r := range t.Rows {
		edge := "    -"
		if rows[i].edge != nil {
			edge = percent(r.EdgeHeld, r.OneSided)
		}
		if _, err := fmt.Fprintf(w, "%-22s %9d %7s %9d %7s %7s %8d\n", r.Quantity, r.TwoSided, percent(r.Held, r.TwoSided),
			r.OneSided, percent(r.OneHeld, r.OneSided), edge, r.Unknown); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, "outliers named: %d of %d (%s %%); good readings named by mistake: %d of %d (%s %%)\n",
		t.Named, t.Outliers, percent(t.Named, t.Outliers), t.Mistaken, t.Good, percent(t.Mistaken, t.Good))
	return err
}
