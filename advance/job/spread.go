package job

import (
	"context"
	"math"

	"example.org/bobweight/advance/recipes"
	"example.org/bobweight/flyweights"
)

// band is the spread of a recipe's curve over what is not known exactly.
type band struct {
	rpm, nominal, low, high []float64
	allInLow, allInHigh     float64
	chances                 []Chance
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

// spread is the band of the light alone: 95 % of readings of a curve that is
// built exactly, with its error of speed turned into degrees by the slope.
func (j *Job) spread(_ context.Context, _ *recipes.Problem, r *recipes.Recipe) (band, error) {
	b := band{allInLow: r.AllIn, allInHigh: r.AllIn}
	const step = 50.0
	for rpm := step; rpm <= j.Top; rpm += step {
		at, err := r.At(rpm, flyweights.Rising)
		if err != nil {
			return b, err
		}
		next, err := r.At(rpm+j.Settings.SigmaRPM, flyweights.Rising)
		if err != nil {
			return b, err
		}
		half := 1.96 * math.Hypot(j.Settings.SigmaDegrees, next-at)
		b.rpm, b.nominal = append(b.rpm, rpm), append(b.nominal, at)
		b.low, b.high = append(b.low, at-half), append(b.high, at+half)
	}
	return b, nil
}

// whyNothing says why no recipe keeps the limits.
func (j *Job) whyNothing(_ context.Context, p *recipes.Problem) (*NoFit, error) {
	n := &NoFit{Text: "No combination of the drawer keeps every limit."}
	if p.Present == nil {
		return n, nil
	}
	_, breaches, err := recipes.WhyNot(p, *p.Present, p.Static.Low, p.Travel.High)
	if err != nil {
		return nil, err
	}
	for _, b := range breaches {
		n.Reasons = append(n.Reasons, "the parts now fitted: "+b.String())
	}
	return n, nil
}
