package learned

import "math"

// freedom is the number of degrees of freedom of Student's law for a reading's
// error: wide enough in the tails that one outlier in twenty does little harm, at
// little cost where there is none (Lange, Little and Taylor, Robust statistical
// modeling using the t distribution, Journal of the American Statistical
// Association 84, 1989, pp. 881-896).
const freedom = 4

// target is the posterior of a model, with the memory to evaluate it.
type target struct {
	m              *model
	law            law
	mean, variance []float64
	frozen         []float64 // standard error of each reading, for least squares
	trial          []float64
}

func newTarget(m *model) *target {
	n := len(m.obs)
	return &target{m: m, law: m.law(), mean: make([]float64, n), variance: make([]float64, n), frozen: make([]float64, n), trial: make([]float64, m.size)}
}

// sigma is the standard error of a reading, crank degrees.
func (t *target) sigma(i int, par []float64) float64 {
	o := &t.m.obs[i]
	return math.Exp(par[t.m.size-1]) * math.Sqrt(o.sigmaDeg*o.sigmaDeg+t.variance[i])
}

// logPosterior is the logarithm of likelihood times prior, without constants of
// the readings.
func (t *target) logPosterior(par []float64) float64 {
	t.m.predict(t.law, par, t.mean, t.variance)
	// Of each reading -(freedom+1)/2 log(1 + z^2/freedom) - log(sigma). The logarithms are
	// taken of products of a few readings, a third of the time.
	sum, tails, sizes := 0.0, 1.0, 1.0
	last := par[t.m.size-1]
	scale := math.Exp(2 * last)
	for i := range t.m.obs {
		o := &t.m.obs[i]
		variance := o.sigmaDeg*o.sigmaDeg + t.variance[i]
		d := o.deg - t.mean[i]
		tails *= 1 + d*d/(freedom*scale*variance)
		sizes *= variance
		if i%8 == 7 || i == len(t.m.obs)-1 {
			sum -= (freedom+1)/2.0*math.Log(tails) + math.Log(sizes)/2
			tails, sizes = 1, 1
		}
	}
	sum -= last * float64(len(t.m.obs))
	for j, p := range t.m.prior {
		sum += p.log(t.m.argument(j, par))
	}
	if math.IsNaN(sum) {
		return math.Inf(-1)
	}
	return sum
}

const halfLog2Pi = 0.91893853320467274178

// Size and Evaluate make a least-squares problem of the posterior while the
// readings' standard errors are frozen: half the sum of squares is minus its
// logarithm. The size of the errors, the last parameter, is not among its unknowns.
func (t *target) Size() (residuals, parameters int) {
	return len(t.m.obs) + t.m.size - 1, t.m.size - 1
}

// Evaluate writes residuals and their derivatives, by differences.
func (t *target) Evaluate(x, r, jac []float64) {
	n := t.m.size - 1
	copy(t.trial, x)
	t.residuals(t.trial, r)
	moved := make([]float64, len(r))
	for j := range n {
		const step = 1e-5
		was := t.trial[j]
		t.trial[j] = was + step
		t.residuals(t.trial, moved)
		t.trial[j] = was
		for i := range r {
			jac[i*n+j] = (moved[i] - r[i]) / step
		}
	}
}

func (t *target) residuals(par, r []float64) {
	t.m.predict(t.law, par, t.mean, t.variance)
	for i := range t.m.obs {
		z := (t.m.obs[i].deg - t.mean[i]) / t.frozen[i]
		r[i] = math.Copysign(math.Sqrt((freedom+1)*math.Log1p(z*z/freedom)), z)
	}
	at := len(t.m.obs)
	for j := range t.m.size - 1 {
		r[at+j] = t.m.prior[j].residual(t.m.argument(j, par))
	}
}

// freeze takes the readings' standard errors at a point, with the size of the
// errors that suits the residuals there.
func (t *target) freeze(par []float64) {
	t.m.predict(t.law, par, t.mean, t.variance)
	last := t.m.size - 1
	p := t.m.prior[last]
	for range 20 { // reweighting settles on the mode
		was := par[last]
		sum, n := 0.0, float64(len(t.m.obs))
		for i := range t.m.obs {
			z := (t.m.obs[i].deg - t.mean[i]) / t.sigma(i, par)
			sum += (freedom + 1) * z * z / (freedom + z*z)
		}
		// Newton's step of sum - n - (par-mean)/sd^2 = 0, whose slope is at least -2n.
		par[last] += (sum - n - (was-p.mean)/(p.sd*p.sd)) / (2*n + 1/(p.sd*p.sd))
		if math.Abs(par[last]-was) < 1e-6 {
			break
		}
	}
	for i := range t.frozen {
		t.frozen[i] = t.sigma(i, par)
	}
}
