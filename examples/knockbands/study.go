package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"

	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/examples/knockbands/entrained"
	"example.org/bobweight/examples/knockbands/rivals"
	"example.org/bobweight/knock"
	"example.org/bobweight/springs/workers"
)

// speeds at which bands are held against the truth, rpm.
var speeds = [...]float64{800, 1000, 1500, 2000, 3000, 4000, 5000}

// cell counts the engines of one row at one speed.
type cell struct {
	n, inside, below int
	unknown          int // the model says that it does not know
	width, bias      float64
}

// table holds a row for each telling.
type table struct {
	engines int
	rows    [][len(speeds)]cell
	refused []int // engines whose observations the model refused
}

// answer is one engine's band and limit under one telling at one speed.
type answer struct {
	low, mid, high, actual float64
	unknown                bool
}

// truth is an engine whose limit is known.
type truth interface {
	Told() knock.Engine // as its owner believes it to be
	BestSpark(rpm float64) float64
	Limit(rpm float64) (spark float64, found bool)
}

// populations draw engines by number, each from its own physics.
var populations = map[string]func(number uint64) truth{
	"rivals":    func(n uint64) truth { return rivals.Draw(n) },
	"entrained": func(n uint64) truth { return entrained.Draw(n) },
}

// study holds the bands of every telling against the truth of every engine, from the
// number first on.
func study(ctx context.Context, draw func(number uint64) truth, first, engines int, progress func(done, total int)) (*table, error) {
	all, err := workers.Map(ctx, workers.Pool{Progress: progress}, engines, func(i int) ([][]answer, error) {
		number := uint64(first + i)
		return ask(ctx, number, draw(number))
	})
	if err != nil {
		return nil, err
	}
	t := &table{engines: engines, rows: make([][len(speeds)]cell, len(tellings)), refused: make([]int, len(tellings))}
	for _, engine := range all {
		for k, row := range engine {
			if row == nil {
				t.refused[k]++
			}
			for j, a := range row {
				t.rows[k][j].count(a)
			}
		}
	}
	return t, nil
}

func (c *cell) count(a answer) {
	const rounding = 0.01
	if a.unknown {
		c.unknown++
		return
	}
	c.n++
	c.width += a.high - a.low
	c.bias += a.mid - a.actual
	switch {
	case a.actual < a.low-rounding:
		c.below++
	case a.actual <= a.high+rounding:
		c.inside++
	}
}

// ask makes every telling to a model of one engine and takes its bands.
func ask(ctx context.Context, number uint64, e truth) ([][]answer, error) {
	var actual [len(speeds)]float64
	for j, rpm := range speeds {
		spark, found := e.Limit(rpm)
		if !found {
			spark = math.Inf(1)
		}
		actual[j] = spark
	}
	m, err := knock.New(e.Told())
	if err != nil {
		return nil, err
	}
	rows := make([][]answer, len(tellings))
	for k, telling := range tellings {
		// The same ear for every telling, but no two engines with the same.
		told := telling.say(&builder{engine: e, model: m, ear: rand.New(rand.NewPCG(number, 0x656172))})
		calibrated, err := m.Calibrate(ctx, told...)
		if err != nil {
			if ctx.Err() != nil {
				return nil, err
			}
			continue
		}
		for j, rpm := range speeds {
			w, err := calibrated.SparkRequirement(knock.Condition{RPM: rpm})
			if errors.Is(err, knock.ErrNotKnown) {
				rows[k] = append(rows[k], answer{unknown: true})
				continue
			}
			if err != nil {
				return nil, fmt.Errorf("engine %d, %s, %g rpm: %w", number, telling.name, rpm, err)
			}
			// Beyond the last spark that the model looks at, the truth is out of sight too.
			highest := math.Min(w.MBT+15, 75)
			rows[k] = append(rows[k], answer{low: w.KLSALow, mid: w.KLSA, high: w.KLSAHigh, actual: math.Min(actual[j], highest)})
		}
	}
	return rows, nil
}

func (t *table) print(out io.Writer) {
	fmt.Fprintf(out, "%d engines of another physics: share inside the 90 %% band / below it, %%, and mean width, deg crank\n\n%-44s", t.engines, "told")
	for _, rpm := range speeds {
		fmt.Fprintf(out, "%13.0f", rpm)
	}
	fmt.Fprintln(out, " rpm")
	for k, row := range t.rows {
		fmt.Fprintf(out, "%-44s", tellings[k].name)
		for _, c := range row {
			n := math.Max(1, float64(c.n))
			fmt.Fprintf(out, "  %3.0f/%-2.0f %4.1f", 100*float64(c.inside)/n, 100*float64(c.below)/n, c.width/n)
		}
		unknown := 0
		for _, c := range row {
			unknown += c.unknown
		}
		if t.refused[k]+unknown > 0 {
			fmt.Fprintf(out, "  (%d engines refused, %d answers not known)", t.refused[k], unknown)
		}
		fmt.Fprintf(out, "\n%-44s", "  best estimate less limit, mean")
		for _, c := range row {
			fmt.Fprintf(out, "  %+11.1f", c.bias/math.Max(1, float64(c.n)))
		}
		fmt.Fprintln(out)
	}
	for _, c := range sheet.EngineCautions() {
		fmt.Fprintln(out, c)
	}
}
