package learned

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/springs/valid"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Laplace's method takes the readings for normal about a mode. Near a start or a stop they
// are not, and its evidence is off by half a log unit either way: as much as parts right
// builds from wrong ones. A verdict takes the mean over points drawn from Student's law
// about the modes instead, each weighed by what that law has too much or too little there
// (importance sampling: Geweke, Bayesian inference in econometric models using Monte Carlo
// integration, Econometrica 57, 1989, pp. 1317-1339).
//
// Student's law of the readings' errors stays as wide as elsewhere: with 12 degrees of
// freedom some one of a hundred builds more would be noticed, but with one reading in twelve
// off by eight degrees 11 right builds of a hundred would be blamed in place of 6.
//
// All hypotheses see the same deviates, and what one of them lets go of is drawn before the
// rest: what chance does to the mean is then alike in each and falls out of their
// differences.
const (
	weighedPoints = 400
	weighedTails  = 7 // degrees of freedom
)

// weighed is the evidence of all modes of one model, and that with another prior of the
// difference of the run after a change: other is its logarithm less that of the model's own,
// nil for the same one. Parameter apart is the one that the hypothesis lets go of, -1 for
// none.
func weighed(modes []*mode, apart int, other func(x float64) float64) (evidence, with float64, ok bool) {
	m := modes[0].m
	t := newTarget(m)
	share := make([]float64, len(modes)) // logarithm of that of each mode, by Laplace's method
	laws := make([]*student, len(modes))
	for k, d := range modes {
		share[k] = d.evidence
		if laws[k] = newStudent(d, apart); laws[k] == nil {
			return 0, 0, false
		}
	}
	floats.AddConst(-floats.LogSumExp(share), share)
	rng := rand.New(rand.NewPCG(1, 2))
	x, density := make([]float64, m.size), make([]float64, len(modes))
	var plain, changed []float64
	for k, law := range laws {
		pairs := int(math.Ceil(weighedPoints / 2 * math.Exp(share[k])))
		for i := range 2 * pairs {
			if i%2 == 0 {
				law.deviate(rng, i/2)
			} else {
				floats.Scale(-1, law.z) // an opposite to each
			}
			law.point(x)
			for q, o := range laws {
				density[q] = share[q] + o.log(x)
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
	evidence, with = mean(plain), mean(changed)
	return evidence, with, valid.Finite(evidence) && valid.Finite(with)
}

// student is Student's law about a mode.
type student struct {
	at     []float64
	order  []int // of the parameters, the one apart first
	first  bool  // whether there is one apart
	root   mat.TriDense
	middle float64   // logarithm of the density there
	z, u   []float64 // deviates of a point, and working memory
}

// newStudent returns nil where the covariance has no root.
func newStudent(d *mode, apart int) *student {
	size := d.m.size
	s := &student{at: d.par, first: apart >= 0, z: make([]float64, size), u: make([]float64, size)}
	for j := range size {
		if j != apart {
			s.order = append(s.order, j)
		}
	}
	if s.first {
		s.order = slices.Insert(s.order, 0, apart)
	}
	row := func(i int) []float64 { return d.root[i*size : (i+1)*size] }
	cov := mat.NewSymDense(size, nil)
	for a, i := range s.order {
		for b, j := range s.order[:a+1] {
			cov.SetSym(a, b, floats.Dot(row(i), row(j)))
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return nil
	}
	chol.LTo(&s.root)
	n := float64(size)
	high, _ := math.Lgamma((weighedTails + n) / 2)
	low, _ := math.Lgamma(weighedTails / 2.0)
	s.middle = high - low - n/2*math.Log(weighedTails*math.Pi) - chol.LogDet()/2
	return s
}

// deviate draws the deviates of point number i. That of a parameter apart goes evenly
// through the normal law; without such a parameter all the rest are the same.
func (s *student) deviate(rng *rand.Rand, i int) {
	square := 0.0
	for range weighedTails {
		z := rng.NormFloat64()
		square += z * z
	}
	scale := math.Sqrt(weighedTails / square)
	z := s.z
	if s.first {
		_, part := math.Modf((float64(i) + 0.5) / math.Phi)
		z[0], z = scale*distuv.UnitNormal.Quantile(part), z[1:]
	}
	for i := range z {
		z[i] = scale * rng.NormFloat64()
	}
}

// point is the place of the deviates.
func (s *student) point(x []float64) {
	for i, j := range s.order {
		v := s.at[j]
		for k := range i + 1 {
			v += s.root.At(i, k) * s.z[k]
		}
		x[j] = v
	}
}

// log is the logarithm of the density at x.
func (s *student) log(x []float64) float64 {
	distance := 0.0
	for i, j := range s.order {
		v := x[j] - s.at[j]
		for k := range i {
			v -= s.root.At(i, k) * s.u[k]
		}
		s.u[i] = v / s.root.At(i, i)
		distance += s.u[i] * s.u[i]
	}
	return s.middle - (weighedTails+float64(len(x)))/2*math.Log1p(distance/weighedTails)
}
