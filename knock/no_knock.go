package knock

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// A spark at which no knock was heard says on which side of it the limit lies, and
// no more. Given the level v of the autoignition integral there, in standard
// deviations of the listener, no-knock observation has the likelihood Phi(-v). Its product with a
// normal prior is not normal; it is replaced by the normal with the same mean and
// variance, which is the prior times one more normal observation of v. That
// observation then stands in for the no-knock observation in [posterior.update]. With several, each
// is made anew on what the others say until none moves: expectation propagation
// (T. P. Minka, Uncertainty in Artificial Intelligence 17, 2001; the moments as in
// C. E. Rasmussen, C. K. I. Williams, Gaussian Processes for Machine Learning, 2006,
// eq. 3.58, read in a public program that cites it).

// site is the normal observation of v that stands in for no knock heard;
// precision 0 is none yet.
type site struct{ at, precision float64 }

// tiltedMoments returns the mean and variance of v ~ N(mean, variance) once it is known
// that no knock was heard, and how likely that was.
func tiltedMoments(mean, variance float64) (heardMean, heardVariance, chance float64) {
	wide := math.Sqrt(1 + variance)
	z := -mean / wide
	chance = distuv.UnitNormal.CDF(z)
	hazard := distuv.UnitNormal.Prob(z) / chance
	return mean - variance*hazard/wide, variance - variance*variance*hazard*(z+hazard)/(1+variance), chance
}

// leastEvidence is how unlikely a no-knock observation may be before it contradicts the rest.
const leastEvidence = 1e-3

// informativeRange is how far past best torque a no-knock observation still says where the limit
// lies, crank degrees. Further on the burn outruns the delay, the integral turns
// over with spark, and no more is learned than from no-knock observation here, which no-knock observation
// further on implies.
const informativeRange = 10.0

// informativeSpark returns the spark at which a no-knock observation is worked with.
func (p *point) informativeSpark(spark float64) float64 {
	const apart = 1.0
	least := spark - informativeRange // best torque at which spark is informative
	if least <= earliestSearch {
		return spark
	}
	var c charge
	p.fill(&c, &p.model.posterior.mean)
	if c.brakeWork(&p.engine, least+apart) >= c.brakeWork(&p.engine, least-apart) {
		return spark // torque still rises there
	}
	mbt, _, _ := c.bestTorqueSpark(&p.engine)
	return math.Min(spark, mbt+informativeRange)
}

// update makes the site again, from the posterior about v that holds with the old
// one in it.
func (s site) update(mean, variance float64) (site, error) {
	// What the others say: the old site taken out again.
	precision := 1/variance - s.precision
	if !(precision > 0) {
		return s, nil // cannot be but by rounding, where the site is all that is known
	}
	without := 1 / precision
	centre := without * (mean/variance - s.at*s.precision)
	heardMean, heardVariance, chance := tiltedMoments(centre, without)
	if !(chance >= leastEvidence) {
		return s, fmt.Errorf("%w: the chance of hearing no knock there is %.1g, valid is %g or more: it contradicts the engine's facts or the other observations", errRange, chance, leastEvidence)
	}
	if !(1-heardVariance/without > 1e-9) {
		return site{}, nil // far below any knock: nothing is learned
	}
	now := site{precision: 1/heardVariance - precision}
	now.at = (heardMean/heardVariance - centre*precision) / now.precision
	return now, nil
}

// learn returns the posterior after observations of every kind. Trace knock at a spark
// beyond where it is informative counts as there: what was heard to knock must not come out as
// free of it, and no timing for the road lies so far past best torque.
func (b posterior) learn(ctx context.Context, points []*point, given []Observation) (posterior, error) {
	obs := slices.Clone(given)
	for i := range obs {
		obs[i] = obs[i].asTraceKnock()
		if kind := obs[i].Kind; kind == NoKnock || kind == TraceKnock {
			obs[i].Spark = points[i].informativeSpark(obs[i].Spark)
		}
	}
	stand := make([]site, len(obs))
	known, slopes := make([]bool, len(obs)), make([]parameters, len(obs))
	miss := func(mean *parameters, i int, renew bool) (float64, parameters) {
		d := points[i].deviation(mean, &obs[i])
		if renew || !known[i] {
			known[i], slopes[i] = true, points[i].slopes(mean, &obs[i], &d)
		}
		return d.over(slopes[i])
	}
	var s search
	// No site can rest more quietly than the search of update, on which it is made.
	const rounds, settled = 40, convergence
	for range rounds {
		told := make([]int, 0, len(obs)) // observations that say something yet
		for i := range obs {
			if obs[i].Kind != NoKnock || stand[i].precision > 0 {
				told = append(told, i)
			}
		}
		now, err := b.update(ctx, &s, len(told), func(mean *parameters, k int, renew bool) (float64, parameters) {
			i := told[k]
			off, slopes := miss(mean, i, renew)
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
			return posterior{}, err
		}
		l, err := now.linearize(ctx, obs, miss)
		if err != nil {
			return posterior{}, err
		}
		next := slices.Clone(stand)
		moved, i, err := l.updateSites(next)
		if err != nil {
			return posterior{}, fmt.Errorf("observation %d, no knock at %.4g deg crank and %.5g rpm crank: %w", i+1, given[i].Spark, points[i].cond.RPM, err)
		}
		if moved < settled {
			return now, nil
		}
		stand = next
	}
	return posterior{}, fmt.Errorf("%w: the observations of no knock do not settle with the others", errRange)
}
