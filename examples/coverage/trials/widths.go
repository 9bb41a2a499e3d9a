package trials

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/workers"
)

//go:embed testdata/ramps.txt
var ramps string

// Seed and number of the engines from which ramps.txt was made.
const (
	rampsSeed    = 51
	rampsEngines = 800
)

// stored is what ramps.txt says of one set of readings.
type stored struct {
	engine       int
	rpm, degrees float64 // sums over the readings
	low, high    []float64
}

// readRamps reads ramps.txt. An end that was not stated is NaN.
func readRamps(text string) ([]stored, error) {
	var out []stored
	for line := range strings.Lines(text) {
		words := strings.Fields(line)
		if len(words) == 0 || words[0] == "#" {
			continue
		}
		if len(words) != 3+2*len(rows) {
			return nil, fmt.Errorf("coverage: ramps.txt: %q has %d numbers, want %d", line, len(words), 3+2*len(rows))
		}
		v := make([]float64, len(words))
		for i, w := range words {
			var err error
			if v[i], err = strconv.ParseFloat(w, 64); err != nil && w != "-" {
				return nil, fmt.Errorf("coverage: ramps.txt: %w", err)
			}
			if w == "-" {
				v[i] = math.NaN()
			}
		}
		s := stored{engine: int(v[0]), rpm: v[1], degrees: v[2]}
		for i := range rows {
			s.low, s.high = append(s.low, v[3+2*i]), append(s.high, v[4+2*i])
		}
		out = append(out, s)
	}
	return out, nil
}

// Widths fits one-stage sets of readings anew and prints how wide the two-sided
// intervals are beside those of an earlier fit that knew ramps in speed only, which
// testdata/ramps.txt holds: over the intervals that both state, how many of each hold the
// truth, the median of their ratio and the ratio of the means; and the same with both
// scaled about their middle to hold 95 %. It returns the context's error if that ends
// first.
func Widths(ctx context.Context, w io.Writer, progress func(done, total int)) error {
	if w == nil {
		return errors.New("coverage: there is nowhere to write the table: the writer is nil")
	}
	sets, err := readRamps(ramps)
	if err != nil {
		return err
	}
	p := Plan{Engines: rampsEngines, Seed: rampsSeed}
	all, err := workers.Map(ctx, workers.Pool{Progress: progress}, len(sets), func(i int) (outcome, error) {
		o, err := simulate(ctx, p, sets[i].engine)
		if err != nil {
			return o, err
		}
		rpm, degrees := 0.0, 0.0
		for _, r := range o.sample.Readings {
			rpm, degrees = rpm+r.RPM, degrees+r.Degrees
		}
		if !(math.Abs(rpm-sets[i].rpm) < 0.5 && math.Abs(degrees-sets[i].degrees) < 0.1) || o.engine.TwoStage {
			return o, fmt.Errorf("coverage: the readings of engine %d are not those that ramps.txt was made from", sets[i].engine)
		}
		return o, nil
	})
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(w, "%d one-stage sets of readings, seed %d: two-sided intervals beside those of ramps\n%-22s %6s %9s %9s %8s %8s %16s\n",
		len(sets), rampsSeed, "quantity", "both", "ramps %", "here %", "median", "means", "means at 95 %"); err != nil {
		return err
	}
	for i, q := range rows {
		var before, now pairs
		for k := range all {
			e := all[k].said[i]
			if low, high := sets[k].low[i], sets[k].high[i]; low <= high && e.Bound == readings.Interval {
				is := q.is(all[k].engine)
				before.add(low, high, is)
				now.add(e.Low, e.High, is)
			}
		}
		if _, err := fmt.Fprintf(w, "%-22s %6d %9.1f %9.1f %8.2f %8.2f %16.2f\n", q.name, len(now.width), before.held(), now.held(),
			medianRatio(now.width, before.width), mean(now.width)/mean(before.width), now.scale()*mean(now.width)/before.scale()/mean(before.width)); err != nil {
			return err
		}
	}
	return nil
}

// pairs are intervals with how far the truth lies from their middle, half widths.
type pairs struct{ width, off []float64 }

func (p *pairs) add(low, high, is float64) {
	p.width = append(p.width, high-low)
	p.off = append(p.off, math.Abs(is-(low+high)/2)/math.Max((high-low)/2, 1e-9))
}

// held is the percentage that holds the truth.
func (p *pairs) held() float64 {
	n := 0
	for _, v := range p.off {
		if v <= 1 {
			n++
		}
	}
	return 100 * float64(n) / float64(len(p.off))
}

// scale is the factor on the widths with which 95 % hold.
func (p *pairs) scale() float64 {
	v := slices.Sorted(slices.Values(p.off))
	return v[min(int(0.95*float64(len(v))), len(v)-1)]
}

func mean(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

func medianRatio(a, b []float64) float64 {
	r := make([]float64, len(a))
	for i := range a {
		r[i] = a[i] / b[i]
	}
	slices.Sort(r)
	return r[len(r)/2]
}
