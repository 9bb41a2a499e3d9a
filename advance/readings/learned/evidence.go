package learned

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
)

// Laplace's method takes the readings for normal about a mode. Near a start or a stop they
// are not, and its evidence is off by half a log unit either way: as much as parts right
// builds from wrong ones. A verdict takes the mean over points drawn from Student's law
// about the modes instead, each weighed by what that law has too much or too little there
// (importance sampling: Geweke, Bayesian inference in econometric models using Monte Carlo
// integration, Econometrica 57, 1989, pp. 1317-1339).
const (
	weighedPoints = 400
	weighedTails  = 7 // degrees of freedom
)

// weighed is the evidence of all modes of one model, and that with another prior of the
// difference of the run after a change: other is its logarithm less that of the model's own,
// nil for the same one.
func weighed(modes []*mode, other func(x float64) float64) (evidence, with float64) {
	m := modes[0].m
	t := newTarget(m)
	size := m.size
	share := make([]float64, len(modes)) // logarithm of that of each mode, by Laplace's method
	for k, d := range modes {
		share[k] = d.evidence
	}
	floats.AddConst(-floats.LogSumExp(share), share)
	laws := make([]float64, len(modes)) // logarithm of each law's density at its mode
	for k, d := range modes {
		laws[k] = studentAtMiddle(size) - d.halfLogDet()
	}
	rng := rand.New(rand.NewPCG(uint64(size), 1)) // hypotheses of one size see the same deviates
	x, u := make([]float64, size), make([]float64, size)
	density := make([]float64, len(modes))
	var plain, changed []float64
	for k, d := range modes {
		n := int(math.Ceil(weighedPoints * math.Exp(share[k])))
		for range n {
			d.point(rng, u, x)
			for q, o := range modes {
				density[q] = share[q] + laws[q] - (weighedTails+float64(size))/2*math.Log1p(o.distance(x, u)/weighedTails)
			}
			w := t.logPosterior(x) - floats.LogSumExp(density)
			plain = append(plain, w)
			if other != nil {
				changed = append(changed, w+other(x[m.other]))
			}
		}
	}
	mean := func(v []float64) float64 { return m.before + floats.LogSumExp(v) - math.Log(float64(len(v))) }
	if other == nil {
		changed = plain
	}
	return mean(plain), mean(changed)
}

// studentAtMiddle is the logarithm of the density of Student's law in so many dimensions at
// its middle, with unit scale.
func studentAtMiddle(size int) float64 {
	n := float64(size)
	a, _ := math.Lgamma((weighedTails + n) / 2)
	b, _ := math.Lgamma(weighedTails / 2.0)
	return a - b - n/2*math.Log(weighedTails*math.Pi)
}

// halfLogDet is half the logarithm of the covariance's determinant.
func (d *mode) halfLogDet() float64 {
	sum := 0.0
	for i := range d.m.size {
		sum += math.Log(d.root[i*d.m.size+i])
	}
	return sum
}

// point draws x from Student's law about the mode; u is working memory.
func (d *mode) point(rng *rand.Rand, u, x []float64) {
	scale := 0.0
	for range weighedTails {
		z := rng.NormFloat64()
		scale += z * z
	}
	scale = math.Sqrt(weighedTails / scale)
	for j := range u {
		u[j] = scale * rng.NormFloat64()
	}
	for i := range x {
		x[i] = d.par[i] + floats.Dot(d.root[i*len(x):i*len(x)+i+1], u[:i+1])
	}
}

// distance is the squared distance of x from the mode in its covariance; u is working
// memory.
func (d *mode) distance(x, u []float64) float64 {
	sum := 0.0
	for i := range x {
		row := d.root[i*len(x) : i*len(x)+i+1]
		u[i] = (x[i] - d.par[i] - floats.Dot(row[:i], u[:i])) / row[i]
		sum += u[i] * u[i]
	}
	return sum
}
