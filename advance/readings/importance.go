package readings

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.org/bobweight/advance/internal/balance"
)

// sample is one curve drawn at random, with its share among all.
type sample struct {
	ends
	curve  balance.Curve
	at     balance.Inverse
	lag    float64
	weight float64
}

// Numbers of the importance sampling.
const (
	broadDraws   = 48  // per parameter, from the law before the readings
	stageDraws   = 128 // per stage of approach
	stageWorth   = 18  // equally likely draws that a stage's tempered ones are worth
	mostStages   = 60  // of approach
	nearly       = 0.5 // tempering from which on the approach has come close
	firstDraws   = 36  // per parameter, of the first round at last
	lastDraws    = 90  // of each further one
	mostRounds   = 4   // of them
	roundWorth   = 50  // equally likely draws that a round's tempered ones are worth
	enoughWorth  = 20  // equally likely draws that end the rounds
	climbs       = 80  // steps from the best point
	kernels      = 16  // of a proposal
	moreKernels  = 24  // of one at last
	defensive    = 0.1 // share of a proposal that stays with the law before the readings
	narrowing    = 0.6 // width of a kernel against that of all points
	local        = 0.5 // share of the narrow kernels
	samplingSeed = 1   // the same readings always give the same result
)

// cloud are points of one family drawn from one proposal.
type cloud struct {
	z   []vector
	log []float64 // likelihood times the law before the readings, logarithm
	q   []float64 // proposal's density, logarithm
	at  []ends    // static timing and travel drawn for each
}

// search draws the curves of one family that suit the readings: importance sampling
// whose proposal is adapted in stages. Each proposal is a sum of kernels about
// points of the one before, whose weights are tempered until enough of them have
// any (Cappé, Guillin, Marin and Robert, Population Monte Carlo, Journal of
// Computational and Graphical Statistics 13, 2004, pp. 907-929).
type search struct {
	family *family
	r      *regression
	rng    *rand.Rand
	dims   int
	best   vector
	most   float64 // likelihood times law at best, logarithm

	now      cloud
	from     proposal // of now
	evidence float64  // logarithm of the mean likelihood over the family
}

func newSearch(f *family, r *regression) *search {
	return &search{family: f, r: r, rng: rand.New(rand.NewPCG(samplingSeed, uint64(f.stages))), dims: len(f.use), most: math.Inf(-1)}
}

// value is the logarithm of likelihood times law, up to a constant.
func (s *search) value(z *vector) float64 {
	sum := 0.0
	for _, v := range z[:s.dims] {
		sum += v * v
	}
	if sum > 60 {
		return math.Inf(-1) // so far out that a squared speed might overflow
	}
	_, at, lag, ok := s.family.curve(z)
	if !ok {
		return math.Inf(-1)
	}
	s.r.place(&at, lag)
	v := s.r.force*s.r.likelihood() - sum/2
	if v > s.most {
		s.most, s.best = v, *z
	}
	return v
}

// approach adapts the proposal until its points suit the readings with little
// tempering.
func (s *search) approach() {
	s.fill(broadDraws * s.dims)
	for range mostStages {
		power := s.power(stageWorth)
		s.adapt(power, kernels)
		s.fill(stageDraws)
		if power >= nearly {
			break
		}
	}
}

// fill draws so many points from the proposal.
func (s *search) fill(count int) {
	s.now.empty(count)
	for range count {
		z := s.from.draw(s.rng, s.dims)
		s.now.z = append(s.now.z, z)
		value, at := s.try(&z)
		s.now.log, s.now.at = append(s.now.log, value), append(s.now.at, at)
	}
	s.now.q = s.from.densities(s.now.z, s.dims, s.now.q)
}

// empty makes room for so many points; those of before are lost.
func (c *cloud) empty(count int) {
	c.z, c.log, c.q, c.at = slices.Grow(c.z[:0], count), slices.Grow(c.log[:0], count), slices.Grow(c.q[:0], count), slices.Grow(c.at[:0], count)
}

// power is the exponent at which the weights of the points are worth so many equal
// ones, at most 1.
func (s *search) power(worth float64) float64 {
	w := make([]float64, len(s.now.log))
	high := 1.0
	for range 40 {
		if worthOf(s.now.weights(high, w)) >= worth {
			break
		}
		high /= 2
	}
	if high == 1 {
		return 1
	}
	low := high
	high *= 2
	for range 4 {
		mid := (low + high) / 2
		if worthOf(s.now.weights(mid, w)) >= worth {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

// weights are those of the points with the likelihood's part raised to a power.
func (c *cloud) weights(power float64, w []float64) []float64 {
	for i := range w {
		w[i] = power * (c.log[i] - c.q[i])
	}
	return shares(w)
}

// shares turns logarithms of weights into weights that sum to 1.
func shares(w []float64) []float64 {
	most := slices.Max(w)
	sum := 0.0
	for i := range w {
		w[i] = math.Exp(w[i] - most)
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// worthOf is of how many equally likely draws weighted ones are worth.
func worthOf(w []float64) float64 {
	sum := 0.0
	for _, v := range w {
		sum += v * v
	}
	return 1 / sum
}

// adapt makes the proposal from the points at hand.
func (s *search) adapt(power float64, count int) {
	s.from = newProposal(s.now.z, s.now.weights(power, make([]float64, len(s.now.log))), s.dims, count)
}

// finish draws the points that count and returns them with their shares, which sum
// to 1 over the family. Each round lays more kernels, about points whose weights are
// tempered less, and goes on until the last draws are worth enough. Only points that had
// no part in their own proposal count: those that had lie where its kernels stand, and
// would make the evidence too little.
func (s *search) finish() drawn {
	var d drawn
	for round := range mostRounds {
		draws := lastDraws * s.dims
		if round == 0 {
			draws = firstDraws * s.dims
		}
		s.adapt(s.power(roundWorth), moreKernels)
		s.fill(draws)
		d = s.weigh()
		if round > 0 && worthOf(d.w) >= enoughWorth {
			break
		}
	}
	return d
}

// weigh holds the points drawn last with their shares, and takes their mean likelihood
// over the family.
func (s *search) weigh() drawn {
	c := &s.now
	d := drawn{z: c.z, at: c.at, w: make([]float64, len(c.z))}
	for i := range d.w {
		d.w[i] = c.log[i] - c.q[i]
	}
	most := slices.Max(d.w)
	sum := 0.0
	for _, v := range d.w {
		sum += math.Exp(v - most)
	}
	s.evidence = most + math.Log(sum/float64(len(d.w))) - float64(s.dims)/2*math.Log(2*math.Pi)
	d.w = shares(d.w)
	return d
}

// climb goes on from the best point by steps at random that are longer after a success
// and shorter after a failure, so that the likeliest curve does not hang on where the
// draws fell (Rechenberg's rule of one success in five, Evolutionsstrategie, 1973).
func (s *search) climb() {
	length := 0.5
	for range climbs {
		trial, most := s.best, s.most
		for j := range s.dims {
			v := length * s.rng.NormFloat64()
			for n := j; n < s.dims; n++ {
				trial[n] += s.from.root[n][j] * v
			}
		}
		if s.value(&trial); s.most > most {
			length *= 1.5
		} else {
			length *= 0.9
		}
	}
}

// try evaluates a point and draws static timing and travel for it.
func (s *search) try(z *vector) (value float64, at ends) {
	value = s.value(z)
	if value > s.most-100 {
		at = s.r.draw(s.rng)
	}
	return value + at.log, at
}

// proposal is a law to draw points from: a sum of kernels of Student's law about
// points, and the standard normal law. The zero value is the latter alone.
type proposal struct {
	centres []vector // whitened
	mean    vector   // whitened: centre of one more kernel, as wide as all points
	root    [coordinates][coordinates]float64
	inverse [coordinates]float64 // reciprocals of the root's diagonal
	log     float64              // of the kernel's density at its centre over their number, without the part of the normal law
}

// student is the freedom of the kernels, so that freedom and dimensions together are
// even and a density is a whole power.
func student(dims int) int { return 4 + dims%2 }

// newProposal lays kernels about points chosen evenly by weight (systematic
// resampling: Douc, Cappé and Moulines, Comparison of resampling schemes for
// particle filtering, ISPA 2005, section 2.4).
func newProposal(z []vector, w []float64, dims, count int) proposal {
	var p proposal
	var mean vector
	for i := range z {
		for j := range dims {
			mean[j] += w[i] * z[i][j]
		}
	}
	var cov [coordinates][coordinates]float64
	for i := range z {
		for j := range dims {
			for k := range j + 1 {
				cov[j][k] += w[i] * (z[i][j] - mean[j]) * (z[i][k] - mean[k])
			}
		}
	}
	scale := narrowing * narrowing
	volume := 1.0
	for j := range dims {
		for k := range j + 1 {
			v := scale * cov[j][k]
			for l := range k {
				v -= p.root[j][l] * p.root[k][l]
			}
			if j > k {
				p.root[j][k] = v / p.root[k][k]
				continue
			}
			p.root[j][j] = math.Sqrt(math.Max(v, 1e-6))
			p.inverse[j] = 1 / p.root[j][j]
			volume *= p.root[j][j]
		}
	}
	p.mean = p.whiten(&mean, dims)
	below, i := 0.0, 0
	for c := range count {
		u := (float64(c) + 0.5) / float64(count)
		for i < len(z)-1 && below+w[i] < u {
			below += w[i]
			i++
		}
		p.centres = append(p.centres, p.whiten(&z[i], dims))
	}
	nu, d := float64(student(dims)), float64(dims)
	a, _ := math.Lgamma((nu + d) / 2)
	b, _ := math.Lgamma(nu / 2)
	p.log = math.Exp(a-b-d/2*math.Log(nu*math.Pi)) / volume / float64(count)
	return p
}

func (p *proposal) whiten(z *vector, dims int) (y vector) {
	for j := range dims {
		v := z[j]
		for k := range j {
			v -= p.root[j][k] * y[k]
		}
		y[j] = v * p.inverse[j]
	}
	return y
}

// draw takes a point.
func (p *proposal) draw(rng *rand.Rand, dims int) (z vector) {
	if len(p.centres) == 0 || rng.Float64() < defensive {
		for j := range dims {
			z[j] = rng.NormFloat64()
		}
		return z
	}
	y, width := p.mean, 1/narrowing
	if rng.Float64() < local {
		y, width = p.centres[rng.IntN(len(p.centres))], 1
	}
	nu := student(dims)
	chi := 0.0
	for range nu {
		v := rng.NormFloat64()
		chi += v * v
	}
	scale := width * math.Sqrt(float64(nu)/chi)
	for j := range dims {
		y[j] += scale * rng.NormFloat64()
		for k := range j + 1 {
			z[j] += p.root[j][k] * y[k]
		}
	}
	return z
}

// densities appends the logarithms of the proposal's density at points.
func (p *proposal) densities(z []vector, dims int, into []float64) []float64 {
	norm := math.Pow(2*math.Pi, -float64(dims)/2)
	nu := student(dims)
	power, perNu := (nu+dims)/2, 1/float64(nu)
	for i := range z {
		sum := 0.0
		for _, v := range z[i][:dims] {
			sum += v * v
		}
		density := norm * math.Exp(-sum/2)
		if len(p.centres) > 0 {
			y := p.whiten(&z[i], dims)
			all := 0.0
			for c := range p.centres {
				r := 0.0
				for j, v := range p.centres[c][:dims] {
					r += (y[j] - v) * (y[j] - v)
				}
				b := 1 / (1 + r*perNu)
				k := b
				for range power - 1 {
					k *= b
				}
				all += k
			}
			r := 0.0
			for j, v := range p.mean[:dims] {
				r += (y[j] - v) * (y[j] - v)
			}
			b := 1 / (1 + r*perNu*narrowing*narrowing)
			k := b
			for range power - 1 {
				k *= b
			}
			wide := k * math.Pow(narrowing, float64(dims)) * float64(len(p.centres))
			density = defensive*density + (1-defensive)*p.log*(local*all+(1-local)*wide)
		}
		into = append(into, math.Log(density))
	}
	return into
}
