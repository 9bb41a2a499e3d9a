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
	broadDraws   = 48   // per parameter, from the law before the readings
	stageDraws   = 128  // per stage of approach
	stageWorth   = 18   // equally likely draws that a stage's tempered ones are worth
	mostStages   = 60   // of approach
	nearly       = 0.5  // tempering from which on the approach has come close
	lastDraws    = 448  // at last
	nearWorth    = 30   // equally likely draws of the last stage from which on a proposal about them serves
	enoughWorth  = 130  // equally likely draws that spare moving them
	walkers      = 64   // that are moved otherwise
	moves        = 11   // of each
	settling     = 4    // moves that do not count
	climbs       = 80   // steps from the best point
	jitter       = 0.1  // of a move, against the spread of all points
	kernels      = 16   // of a proposal
	moreKernels  = 24   // of one about walkers
	defensive    = 0.1  // share of a proposal that stays with the law before the readings
	narrowing    = 0.65 // width of a kernel against that of all points
	local        = 0.5  // share of the narrow kernels
	samplingSeed = 1    // the same readings always give the same result
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
	v := s.r.likelihood() - sum/2
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
	s.now = cloud{z: make([]vector, 0, count), log: make([]float64, 0, count), at: make([]ends, 0, count)}
	for range count {
		z := s.from.draw(s.rng, s.dims)
		s.now.z = append(s.now.z, z)
		value, at := s.try(&z)
		s.now.log, s.now.at = append(s.now.log, value), append(s.now.at, at)
	}
	s.now.q = s.from.densities(s.now.z, s.dims, make([]float64, 0, count))
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
// to 1 over the family. Where few of them have all the weight, points chosen by
// weight are moved (Gilks and Berzuini, Following a moving target, Journal of the
// Royal Statistical Society B 63, 2001, pp. 127-146), and a proposal about where they
// went measures the evidence. Only points that had no part in their own proposal do:
// those that had lie where its kernels stand, and would make the evidence too little.
func (s *search) finish() drawn {
	d := s.weigh()
	if worthOf(d.w) >= nearWorth {
		s.adapt(s.power(stageWorth), kernels)
		s.fill(lastDraws)
		if d = s.weigh(); worthOf(d.w) >= enoughWorth {
			return d
		}
	}
	walked := s.move(&d)
	s.from = newProposal(walked.z, walked.w, s.dims, moreKernels)
	s.fill(lastDraws)
	if d = s.weigh(); worthOf(d.w) >= enoughWorth {
		return d
	}
	return walked
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

// walker is a point on its way with what was found there.
type walker struct {
	z     vector
	value float64
	at    ends
}

// move walks from points chosen evenly by weight, by the rule of Metropolis (Journal
// of Chemical Physics 21, 1953, pp. 1087-1092). A step is the difference of two other
// walkers times a length, so that it has the shape of the law itself, bent or in several
// parts; with the length 1 it leads from one part to another (ter Braak, A Markov chain
// Monte Carlo version of the genetic algorithm differential evolution, Statistics and
// Computing 16, 2006, pp. 239-249).
func (s *search) move(d *drawn) drawn {
	whole := newProposal(d.z, d.w, s.dims, 1)
	var all [walkers]walker
	below, i := 0.0, 0
	for k := range all {
		u := (float64(k) + 0.5) / walkers
		for i < len(d.z)-1 && below+d.w[i] < u {
			below += d.w[i]
			i++
		}
		all[k] = walker{d.z[i], s.now.log[i], d.at[i]}
	}
	usual := 2.38 / math.Sqrt(2*float64(s.dims))
	var out drawn
	for m := range moves {
		length := [5]float64{usual, usual / 2, usual, usual / 4, 1}[m%5]
		for k := range all {
			s.step(&all, k, length, &whole)
		}
		if m >= settling {
			for k := range all {
				out.z, out.at, out.w = append(out.z, all[k].z), append(out.at, all[k].at), append(out.w, 1)
			}
		}
	}
	for i := range out.w {
		out.w[i] = 1 / float64(len(out.w))
	}
	return out
}

// step tries a move of one walker.
func (s *search) step(all *[walkers]walker, k int, length float64, whole *proposal) {
	a, b := s.rng.IntN(walkers-1), s.rng.IntN(walkers-2)
	if a >= k {
		a++ // not k itself
	}
	for _, other := range [2]int{min(a, k), max(a, k)} {
		if b >= other {
			b++ // neither of the two
		}
	}
	trial := all[k].z
	for j := range s.dims {
		trial[j] += length * (all[a].z[j] - all[b].z[j])
		v := jitter / narrowing * s.rng.NormFloat64()
		for n := j; n < s.dims; n++ {
			trial[n] += whole.root[n][j] * v
		}
	}
	least := all[k].value + math.Log(1-s.rng.Float64())
	v := s.value(&trial)
	if !(v > least) {
		return
	}
	if at := s.r.draw(s.rng); v+at.log > least {
		all[k] = walker{trial, v + at.log, at}
	}
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
