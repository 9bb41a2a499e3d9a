package learned

import (
	"context"
	"math"
	"math/rand/v2"

	"example.org/bobweight/springs/workers"
)

// The draws come from a population of Markov chains that learns its steps from its
// own past: a step is a multiple of the difference of two earlier points (ter Braak
// and Vrugt, Differential Evolution Markov Chain with snooker updater and fewer
// chains, Statistics and Computing 18, 2008, pp. 435-446). The past begins with
// draws about the mode, so that where the posterior is nearly normal the first steps
// fit already, and where an end of the curve was not seen the ridge between static
// timing, travel and start is followed along.
const (
	groups      = 4 // populations with a past of their own, whatever the number of processors
	chains      = 3
	seed        = 1
	longJump    = 0.1 // share of steps of a whole difference, from ridge end to ridge end
	archiveStep = 10
)

// draws returns n equally likely points of the posterior about a mode.
func (d *mode) draws(ctx context.Context, n, steps int) ([][]float64, error) {
	parts, err := workers.Map(ctx, workers.Pool{}, groups, func(g int) ([][]float64, error) {
		return d.population(ctx, uint64(g), steps)
	})
	if err != nil {
		return nil, err
	}
	var all [][]float64
	for _, p := range parts {
		all = append(all, p...)
	}
	out := make([][]float64, 0, n)
	for i := range n {
		out = append(out, all[(2*i+1)*len(all)/(2*n)])
	}
	return out, nil
}

// population runs one group of chains and returns the kept points in order.
func (d *mode) population(ctx context.Context, group uint64, steps int) ([][]float64, error) {
	rng := rand.New(rand.NewPCG(seed, group))
	t := newTarget(d.m)
	size := d.m.size
	past := make([][]float64, 0, 8*size+steps*chains/archiveStep)
	for range 8 * size {
		past = append(past, d.near(rng))
	}
	var at [chains][]float64
	var value [chains]float64
	for c := range at {
		at[c], value[c] = append([]float64(nil), d.par...), d.posterior
	}
	usual := 2.38 / math.Sqrt(2*float64(size))
	try := make([]float64, size)
	var kept [][]float64
	for k := range steps {
		if k%64 == 0 && ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		for c := range at {
			i := rng.IntN(len(past))
			j := rng.IntN(len(past) - 1)
			if j >= i {
				j++
			}
			gamma := usual * (0.6 + 0.8*rng.Float64())
			if rng.Float64() < longJump {
				gamma = 1
			}
			for q := range try {
				try[q] = at[c][q] + gamma*(past[i][q]-past[j][q]) + 1e-4*rng.NormFloat64()
			}
			if v := t.logPosterior(try); math.Log(rng.Float64()) < v-value[c] {
				copy(at[c], try)
				value[c] = v
			}
		}
		if k%archiveStep == archiveStep-1 {
			for c := range at {
				point := append([]float64(nil), at[c]...)
				past = append(past, point)
				if k >= steps/4 {
					kept = append(kept, point)
				}
			}
		}
	}
	return kept, nil
}

// near draws a point about the mode, from Student's law with the mode's covariance.
func (d *mode) near(rng *rand.Rand) []float64 {
	size := d.m.size
	z := make([]float64, size)
	for i := range z {
		z[i] = rng.NormFloat64()
	}
	chi := 0.0
	const nu = 6
	for range nu {
		v := rng.NormFloat64()
		chi += v * v
	}
	scale := math.Sqrt(nu / chi)
	x := append([]float64(nil), d.par...)
	for i := range size {
		sum := 0.0
		for j := range i + 1 {
			sum += d.root[i*size+j] * z[j]
		}
		x[i] += scale * sum
	}
	return x
}
