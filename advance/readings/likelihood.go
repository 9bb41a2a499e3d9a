package readings

import (
	"math"
	"math/rand/v2"

	"example.org/bobweight/advance/internal/balance"
)

// outlierWidth is how many times wider the errors of outliers spread than those of
// good readings.
const outlierWidth = 10

// priorErrors is how many readings' worth of trust the stated standard errors have
// against those that the readings themselves show.
const priorErrors = 10

// Laws of static timing and travel before the readings, crank degrees. That of the
// static timing matters only where the readings say nothing. Travels of road engines
// are 12 to 36 degrees, the law holds 4 to 44 in 95 of 100 cases (common practice, no
// source).
const (
	staticSD   = 100
	travelMean = 24
	travelSD   = 10
)

// coarse is the number of readings from which on more of them say next to nothing new.
// A mechanism lies beside every curve of a family by some tenths of a degree, tachometers
// are off by some rpm in every reading, and marks are read in whole degrees. None of this
// is a random error, which many readings average out. The likelihood of n readings is
// therefore raised to the power 1/(1 + n/coarse) (a power likelihood, see Holmes and
// Walker, Assigning a value to a power likelihood in a general Bayesian model, arXiv
// 1701.08515). The number is chosen by how often intervals from 20 readings hold the
// truth in simulated distributors; see the package trials.
const coarse = 250

// observed is one reading with its errors filled in.
type observed struct {
	rpm, deg, sigmaRPM, sigmaDeg float64
	falling                      bool
}

// regression is the likelihood of a curve's shape. Given the travelled part at each
// reading, the readings are a straight line over it, whose ends are static timing
// and total. These two, the size of the errors and the choice of outliers are
// integrated out in closed form: with a normal law of the line's ends and a scaled
// inverse chi-squared law of the variance the likelihood is Student's (Gelman and
// others, Bayesian Data Analysis, third edition 2014, section 14.2), and an outlier
// is a reading of less weight, a change of rank one (section 22.1 for the mixture).
//
// The readings' errors lie in both coordinates: the part travelled is averaged over
// the true speeds that a tachometer reading allows, and their spread adds to the
// variance of the reading. Two points of Gauss and Hermite's rule do that.
type regression struct {
	obs                []observed
	outliers           float64 // share expected
	staticAt, travelAt Known   // laws of static timing and travel
	guess              float64 // of the travel
	force              float64 // power of the likelihood

	x, spread, weight []float64
	gone              []bool // working memory: readings taken as outliers so far
	all               []level
	levels            []level // those in use
	total             float64 // logarithm of the sum of the levels' likelihoods over that of the first
}

// level is the line with some readings taken as outliers.
type level struct {
	a11, a12, a22  float64 // normal matrix
	b1, b2, c      float64
	det            float64
	static, travel float64
	rss            float64   // sum of squared standardised residuals
	out            int       // the reading added to those of the level before, -1 for the first
	log            float64   // logarithm of its likelihood over that of the first level
	single         []float64 // likelihoods with one more outlier over its own
	sum            float64   // of 1 and single, the next level left out
}

// mostOutliers is the most readings of a set that are taken as outliers at once.
func mostOutliers(n int) int { return min(n/3, 1+n/6) }

func newRegression(obs []observed, s *Settings) *regression {
	n := len(obs)
	r := &regression{
		force: 1 / (1 + float64(n)/coarse),
		obs:   obs, outliers: s.Outliers, staticAt: Known{0, staticSD}, travelAt: Known{travelMean, travelSD},
		x: make([]float64, n), spread: make([]float64, n), weight: make([]float64, n), gone: make([]bool, n),
	}
	if s.KnownStatic != nil {
		r.staticAt = *s.KnownStatic
	}
	if s.KnownTravel != nil {
		r.travelAt = *s.KnownTravel
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, o := range obs {
		low, high = math.Min(low, o.deg), math.Max(high, o.deg)
	}
	r.guess = math.Min(math.Max(high-low, 5), 45)
	r.all = make([]level, mostOutliers(n)+1)
	for i := range r.all {
		r.all[i].single = make([]float64, n)
	}
	return r
}

// place finds the travelled part at each reading and its spread. A nil curve is a
// level line.
func (r *regression) place(c *balance.Inverse, lag float64) {
	for i := range r.obs {
		o := &r.obs[i]
		n := o.rpm
		if o.falling {
			n += lag
		}
		low, high := c.Both(n-o.sigmaRPM, n+o.sigmaRPM)
		r.x[i] = (low + high) / 2
		r.spread[i] = (high - low) * (high - low) / 4
	}
}

// likelihood returns the logarithm of the likelihood of the curve placed last, up to
// a constant of the readings.
func (r *regression) likelihood() float64 {
	// The spread in degrees needs the travel, which a first pass finds.
	r.line(r.guess)
	first := &r.all[0]
	logs, product := r.line(math.Min(math.Max(first.travel, 1), 90))
	base := (logs+math.Log(product/first.det))/2 - r.freedom()*math.Log(priorErrors+first.rss)
	r.expand()
	return base + r.total
}

// line finds the line without outliers, given a travel for the spread in degrees. The
// logarithm returned and that of the product add up to that of all weights, times the
// readings' variances.
func (r *regression) line(travel float64) (logs, product float64) {
	first := &r.all[0]
	*first = level{out: -1, single: first.single}
	product = 1
	for i := range r.obs {
		o := &r.obs[i]
		v := o.sigmaDeg * o.sigmaDeg
		w := 1 / (v + travel*travel*r.spread[i])
		r.weight[i] = w
		first.add(w, r.x[i], o.deg)
		if product *= w * v; product < 1e-200 {
			logs += math.Log(product)
			product = 1
		}
	}
	first.know(&r.staticAt, 0)
	first.know(&r.travelAt, 1)
	first.solve()
	return logs, product
}

// freedom is half the degrees of freedom of the variance after the readings.
func (r *regression) freedom() float64 { return (priorErrors + float64(len(r.obs))) / 2 }

// know adds a fact about the static timing (x = 0) or the travel.
func (l *level) know(k *Known, x float64) {
	w := 1 / (k.Sigma * k.Sigma)
	if x == 0 {
		l.a11 += w
		l.b1 += w * k.Value
	} else {
		l.a22 += w
		l.b2 += w * k.Value
	}
	l.c += w * k.Value * k.Value
}

func (l *level) add(w, x, y float64) {
	l.a11 += w
	l.a12 += w * x
	l.a22 += w * x * x
	l.b1 += w * y
	l.b2 += w * x * y
	l.c += w * y * y
}

func (l *level) solve() {
	l.det = l.a11*l.a22 - l.a12*l.a12
	l.static = (l.a22*l.b1 - l.a12*l.b2) / l.det
	l.travel = (l.a11*l.b2 - l.a12*l.b1) / l.det
	l.rss = math.Max(l.c-l.static*l.b1-l.travel*l.b2, 0)
}

// expand takes readings as outliers one after the other, the likeliest first, as
// long as that makes the readings likelier; each level counts the sets with one more
// outlier. With R the square of outlierWidth and g = w (1 - 1/R) the normal
// matrix loses g z z', its determinant the factor d = 1 - g z'A^-1 z and the sum of
// squares g e²/d.
func (r *regression) expand() {
	const square = outlierWidth * outlierWidth
	odds := r.outliers / (1 - r.outliers) / outlierWidth
	for i := range r.gone {
		r.gone[i] = false
	}
	r.levels = r.all[:1]
	for m := range r.all {
		l := &r.all[m]
		best, at := 0.0, -1
		inverse, trust := 1/l.det, priorErrors+l.rss
		l.sum = 1
		for i := range r.obs {
			l.single[i] = 0
			if r.gone[i] {
				continue
			}
			x, g := r.x[i], r.weight[i]*(1-1.0/square)
			d := 1 - g*(l.a22-2*x*l.a12+x*x*l.a11)*inverse
			if !(d > 1e-9) {
				continue
			}
			e := r.obs[i].deg - l.static - x*l.travel
			left := 1 - g*e*e/(d*trust) // of the sum of squares and the trust
			if !(left > 1e-12) {
				left = 1e-12
			}
			p := odds / math.Sqrt(d*power(left, len(r.obs)+priorErrors))
			if !(p < 1e250) {
				p = 1e250
			}
			l.single[i] = p
			l.sum += p
			if p > best {
				best, at = p, i
			}
		}
		if m+1 == len(r.all) || !(best > 1) {
			break
		}
		// The likeliest single becomes the next level.
		l.sum -= best
		l.single[at] = 0
		r.gone[at] = true
		next := &r.all[m+1]
		single := next.single
		*next = *l
		next.single, next.out, next.log = single, at, l.log+math.Log(best)
		next.add(-r.weight[at]*(1-1.0/square), r.x[at], r.obs[at].deg)
		next.solve()
		r.levels = r.all[:m+2]
	}
	most := r.levels[len(r.levels)-1].log
	sum := 0.0
	for m := range r.levels {
		l := &r.levels[m]
		sum += math.Exp(l.log-most) * l.sum
	}
	r.total = most + math.Log(sum)
}

// power returns x to a whole power by multiplication.
func power(x float64, n int) float64 {
	p := 1.0
	for ; n > 0; n /= 2 {
		if n%2 == 1 {
			p *= x
		}
		x *= x
	}
	return p
}

// ends are static timing and travel with the size of the errors. log is the logarithm
// of the probability that travel is more than 0, which no curve can do without.
type ends struct{ static, travel, size, log float64 }

// draw takes static timing, travel and the size of the errors at random from what
// suits the curve placed last: a choice of outliers first.
func (r *regression) draw(rng *rand.Rand) ends {
	u := rng.Float64()
	z1, z2, z3 := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
	l := r.levels[len(r.levels)-1]
	for m := range r.levels {
		share := math.Exp(r.levels[m].log - r.total)
		if u -= share; u < 0 {
			l = r.levels[m]
			break
		}
		if u >= share*(r.levels[m].sum-1) {
			u -= share * (r.levels[m].sum - 1)
			continue
		}
		l = r.levels[m]
		for i, p := range l.single {
			if u -= share * p; u < 0 {
				l.add(-r.weight[i]*(1-1.0/(outlierWidth*outlierWidth)), r.x[i], r.obs[i].deg)
				l.solve()
				break
			}
		}
		break
	}
	// Chi-squared by Wilson and Hilferty's cube (Proceedings of the National Academy of
	// Sciences 17, 1931, pp. 684-688).
	freedom := 2 * r.freedom()
	c := 1 - 2/(9*freedom) + z3*math.Sqrt(2/(9*freedom))
	size := math.Sqrt((priorErrors + l.rss) / (freedom * c * c * c))
	wide := size / math.Sqrt(r.force)
	travel, log := positive(l.travel, wide*math.Sqrt(l.a11/l.det), z1, rng)
	return ends{
		static: l.static - l.a12/l.a11*(travel-l.travel) + wide*z2/math.Sqrt(l.a11),
		travel: travel, size: size, log: log,
	}
}

// positive returns mean + sd z, or where that might not be above 0 a value from the
// part of the normal law that is, and the logarithm of that part.
func positive(mean, sd, z float64, rng *rand.Rand) (value, log float64) {
	edge := -mean / sd
	switch {
	case edge < -5:
		return math.Max(mean+sd*z, 1e-9), 0
	case edge < 5:
		part := math.Erfc(edge/math.Sqrt2) / 2
		u := part * (1 - rng.Float64())
		return math.Max(mean+sd*math.Sqrt2*math.Erfcinv(2*u), 1e-9), math.Log(part)
	}
	// Far out the law falls off exponentially.
	return sd * (rng.ExpFloat64() + 1e-9) / edge, -edge*edge/2 - math.Log(edge*math.Sqrt(2*math.Pi))
}

// best returns the likeliest line and which readings are its outliers.
func (r *regression) best() (ends, []bool) {
	l := r.levels[len(r.levels)-1]
	out := make([]bool, len(r.obs))
	for m := range r.levels {
		if k := r.levels[m].out; k >= 0 {
			out[k] = true
		}
	}
	return ends{static: l.static, travel: math.Max(l.travel, 0), size: math.Sqrt((priorErrors + l.rss) / (2 * r.freedom()))}, out
}

// probable adds, times a weight, how probably each reading is an outlier of the
// curve placed last.
func (r *regression) probable(into []float64, weight float64) {
	rest := 1.0
	for m := range r.levels {
		l := &r.levels[m]
		share := math.Exp(l.log - r.total)
		if l.out >= 0 {
			into[l.out] += weight * rest // all levels from here on
		}
		rest -= share * l.sum
		for i, p := range l.single {
			into[i] += weight * share * p
		}
	}
}
