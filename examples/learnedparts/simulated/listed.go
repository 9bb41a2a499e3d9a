package simulated

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance/readings/learned"
)

// Listed is the distributor as a builder has it listed: with the standard errors that
// [learned.ListedSpring] and [learned.ListedWeights] take as default, drag and
// friction known to their order of magnitude, and the true rate of the springs in
// wrong so many times the listed one. Positions are exact.
func (d *Distributor) Listed(rng *rand.Rand, wrong map[string]float64) learned.Listed {
	l := learned.Listed{
		Mechanism: d.Mechanism,
		Springs:   map[string]learned.ListedSpring{},
		Weights:   map[string]learned.ListedWeights{},
	}
	for _, kind := range []string{"a", "b"} {
		law := d.Laws[kind]
		law.Rate *= math.Exp(0.05 * rng.NormFloat64())
		if f := wrong[kind]; f != 0 {
			law.Rate = d.Laws[kind].Rate / f
		}
		law.FreeLength += 0.0003 * rng.NormFloat64()
		law.InitialTension = math.Max(0, law.InitialTension+0.1*rng.NormFloat64())
		l.Springs[kind] = learned.ListedSpring{Law: law}
	}
	for _, name := range []string{"", "v"} {
		c := Parts("aa", name)
		weights := slices.Clone(d.build(c).Weights)
		f := math.Exp(0.02 * rng.NormFloat64())
		for i := range weights {
			weights[i].Mass *= f
		}
		l.Weights[name] = learned.ListedWeights{Weights: weights}
	}
	l.Mechanism.Stop *= 1.3
	if _, hi := l.Mechanism.Linkage.Travel(); l.Mechanism.Stop > hi {
		l.Mechanism.Stop = hi
	}
	l.Mechanism.Drag *= math.Exp(0.8 * rng.NormFloat64())
	l.Mechanism.Friction.Moment *= math.Exp(0.8 * rng.NormFloat64())
	return l
}
