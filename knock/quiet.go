package knock

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A spark at which no knock was heard says on which side of it the limit lies, and
// no more. Given the level v of the autoignition integral there, in standard
// deviations of the listener, silence has the likelihood Phi(-v). Its product with a
// normal belief is not normal; it is replaced by the normal with the same mean and
// variance, which is the prior times one more normal observation of v. That
// observation then stands in for the silence in [belief.update]. With several, each
// is made anew on what the others say until none moves: expectation propagation
// (T. P. Minka, Uncertainty in Artificial Intelligence 17, 2001; the moments as in
// C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning, 2006,
// eq. 3.58, from memory).

// silence is the normal observation of v that stands in for no knock heard;
// precision 0 is none yet.
type silence struct{ at, precision float64 }

// hearing returns the mean and variance of v ~ N(mean, variance) once it is known
// that no knock was heard, and how likely that was.
func hearing(mean, variance float64) (heardMean, heardVariance, chance float64) {
	wide := math.Sqrt(1 + variance)
	z := -mean / wide
	chance = distuv.UnitNormal.CDF(z)
	hazard := distuv.UnitNormal.Prob(z) / chance
	return mean - variance*hazard/wide, variance - variance*variance*hazard*(z+hazard)/(1+variance), chance
}

// leastChance is how unlikely a silence may be before it contradicts the rest.
const leastChance = 1e-3

// tellingSpark is how far past best torque a silence still says where the limit
// lies, crank degrees. Further on the burn outruns the delay, the integral turns
// over with spark, and no more is learned than from silence here, which silence
// further on implies.
const tellingSpark = 10.0

// telling returns the spark at which a silence is worked with.
func (p *point) telling(spark float64) float64 {
	var c charge
	p.fill(&c, &p.model.belief.mean)
	mbt, _, _ := c.best(&p.engine)
	return math.Min(spark, mbt+tellingSpark)
}

// renew makes the stand-in again, from the belief about v that holds with the old
// one in it.
func (s silence) renew(mean, variance float64) (silence, error) {
	// What the others say: the old stand-in taken out again.
	precision := 1/variance - s.precision
	if !(precision > 0) {
		return s, nil // cannot be but by rounding, where the stand-in is all that is known
	}
	without := 1 / precision
	centre := without * (mean/variance - s.at*s.precision)
	heardMean, heardVariance, chance := hearing(centre, without)
	if !(chance >= leastChance) {
		return s, fmt.Errorf("%w: the chance of silence there is %.1g, valid is %g or more: it contradicts the engine's facts or the other observations", ErrRange, chance, leastChance)
	}
	if !(1-heardVariance/without > 1e-9) {
		return silence{}, nil // far below any knock: nothing is learned
	}
	now := silence{precision: 1/heardVariance - precision}
	now.at = (heardMean/heardVariance - centre*precision) / now.precision
	return now, nil
}

// learn returns the belief after observations of every kind. Trace knock at a spark
// beyond what is telling is told there: what was heard to knock must not come out as
// free of it, and no timing for the road lies so far past best torque.
func (b belief) learn(points []*point, given []Observation) (belief, error) {
	obs := slices.Clone(given)
	for i := range obs {
		if kind := obs[i].Kind; kind == NoKnock || kind == TraceKnock {
			obs[i].Spark = points[i].telling(obs[i].Spark)
		}
	}
	stand := make([]silence, len(obs))
	// No stand-in can rest more quietly than the search of update, on which it is made.
	const rounds, settled = 40, unmoved
	for range rounds {
		told := make([]int, 0, len(obs)) // observations that say something yet
		for i := range obs {
			if obs[i].Kind != NoKnock || stand[i].precision > 0 {
				told = append(told, i)
			}
		}
		now, err := b.update(len(told), func(mean *tweak, k int) (float64, tweak) {
			i := told[k]
			off, slopes := points[i].miss(mean, &obs[i])
			if obs[i].Kind == NoKnock {
				weight := math.Sqrt(stand[i].precision)
				off = (off - stand[i].at) * weight
				for j := range slopes {
					slopes[j] *= weight
				}
			}
			return off, slopes
		})
		if err != nil {
			return belief{}, err
		}
		next := slices.Clone(stand)
		moved, i, err := now.linear(points, obs).settle(next)
		if err != nil {
			return belief{}, fmt.Errorf("observation %d, no knock at %.4g deg crank and %.5g rpm crank: %w", i+1, given[i].Spark, points[i].cond.RPM, err)
		}
		if moved < settled {
			return now, nil
		}
		stand = next
	}
	return belief{}, fmt.Errorf("%w: the observations of no knock do not settle with the others", ErrRange)
}
