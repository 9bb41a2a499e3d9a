package job

import (
	"context"
	"fmt"
	"math"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
)

// band is the spread of a recipe's curve over what is not known exactly.
type band struct {
	rpm, nominal, low, high []float64
	allInLow, allInHigh     float64
	chances                 []chanceRow
	mostTo, measure         string
}

// at returns the window of readings at a speed: straight between the band's
// speeds, held beyond them, laid round the recipe's own curve.
func (b *band) at(rpm, rising float64) (low, high float64) {
	i := 0
	for i < len(b.rpm)-1 && b.rpm[i] < rpm {
		i++
	}
	off := func(edge []float64) float64 {
		if i == 0 || b.rpm[i] < rpm {
			return edge[i] - b.nominal[i]
		}
		part := (b.rpm[i] - rpm) / (b.rpm[i] - b.rpm[i-1])
		return (1-part)*(edge[i]-b.nominal[i]) + part*(edge[i-1]-b.nominal[i-1])
	}
	return rising + off(b.low), rising + off(b.high)
}

// plainInput names what a recipe is sensitive to in the words of the bench.
func plainInput(name string) string {
	switch name {
	case "light":
		return "how exactly the timing light is read when the total is set"
	case "static timing":
		return "how exactly the distributor is turned when the total is set"
	}
	return name
}

// worthMeasuring is how much surer a build must become by a measurement to be worth it.
const worthMeasuring = 0.05

// allLimits is the name of the chance that a build keeps every limit.
const allLimits = "all of them"

// toleranceBand draws builds of a recipe at random, within the tolerances of its parts
// and the care of the builder, and lays the error of reading them round their
// band: what passes on the sheet is what 95 % of good builds show a hand-held
// light.
func (j *Job) toleranceBand(ctx context.Context, p *recipes.Problem, r *recipes.Recipe) (band, error) {
	const step = 50.0
	var speeds []float64
	for rpm := step; rpm <= j.Top; rpm += step {
		speeds = append(speeds, rpm)
	}
	builds := j.scatter(p, r)
	builds.RPM = speeds
	t, err := p.Tolerance(ctx, r, builds)
	if err != nil {
		return band{}, fmt.Errorf("job: tolerances: %w", err)
	}
	b := band{allInLow: t.AllIn.Low, allInHigh: t.AllIn.High}
	for i, rpm := range t.RPM {
		x := t.Band[i]
		at, err := r.At(rpm, flyweights.Rising)
		if err != nil {
			return band{}, err
		}
		next, err := r.At(rpm+j.Settings.SigmaRPM, flyweights.Rising)
		if err != nil {
			return band{}, err
		}
		eye := 1.96 * math.Hypot(j.Settings.SigmaDegrees, next-at)
		b.rpm, b.nominal = append(b.rpm, rpm), append(b.nominal, at)
		b.low = append(b.low, at-math.Hypot(max(0, at-x.Low), eye))
		b.high = append(b.high, at+math.Hypot(max(0, x.High-at), eye))
	}
	for _, o := range t.Limits {
		b.chances = append(b.chances, chanceRow{Limit: o.Limit, Pct: text.Round(100 * o.Probability)})
	}
	b.chances = append(b.chances, chanceRow{Limit: allLimits, Pct: text.Round(100 * t.JointProbability)})
	b.mostTo = plainInput(t.Main.Input)
	if len(t.Measure) > 0 && t.Measure[0].JointProbability > t.JointProbability+worthMeasuring {
		b.measure = fmt.Sprintf("%s; of 100 builds %.0f would then keep all limits, instead of %.0f",
			t.Measure[0].Part, 100*t.Measure[0].JointProbability, 100*t.JointProbability)
	}
	return b, nil
}
