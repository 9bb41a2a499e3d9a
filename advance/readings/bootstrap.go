package readings

import (
	"context"
	"fmt"
	"math/rand/v2"

	"example.org/bobweight/flyweights"
)

// Resampled are the middle 95 % of what refits of simulated readings give: a
// cross-check of the profile likelihood intervals by another method.
type Resampled struct {
	Static, Start, AllIn, Travel, Total Estimate
}

// Bootstrap takes readings at the same speeds from the fitted curve, with random
// errors of the size stated, corrected by the scatter found as the intervals are, fits
// them in the same way, and repeats (parametric bootstrap with percentiles: Efron
// and Tibshirani, An Introduction to the Bootstrap, 1993, sections 6.5 and 13.3).
// Where a start or stop was not seen the middle 95 % say nothing of what lies
// beyond the readings, and the estimate repeats the bound of the Result.
//
// times is 50 to 10,000, a thousand takes about a second. progress, if not nil, is
// called now and then. It refuses a Result that no fit made, and returns the
// context's error if that ends first. The same seed gives the same answer.
func (r *Result) Bootstrap(ctx context.Context, times int, seed uint64, progress func(done, total int)) (Resampled, error) {
	if err := r.made(); err != nil {
		return Resampled{}, err
	}
	if times < 50 || times > 10000 {
		return Resampled{}, fmt.Errorf("%w: number of resamplings is %d, valid is 50 to 10000", ErrRange, times)
	}
	f := r.fit.clone()
	rng := rand.New(rand.NewPCG(seed, 0))
	kinds := []kind{kindStatic, kindStart, kindAllIn, kindTravel, kindTotal}
	values := make([][]float64, len(kinds))
	size := f.size
	set := r.set
	for k := range times {
		if err := ctx.Err(); err != nil {
			return Resampled{}, fmt.Errorf("readings: bootstrap: %w", err)
		}
		run := Run{Readings: simulated(f, r.run, size, rng)}
		obs, _ := observations(&run, &set)
		e, err := choose(ctx, []Run{run}, [][]observed{obs}, &set)
		if err != nil {
			return Resampled{}, err
		}
		for i, q := range kinds {
			if e.slopes > 0 {
				values[i] = append(values[i], e.at(figure{kind: q}))
			}
		}
		if progress != nil && k%50 == 49 {
			progress(k+1, times)
		}
	}
	var out Resampled
	for i, pair := range []struct {
		into *Estimate
		was  Estimate
	}{{&out.Static, r.Static}, {&out.Start, r.Start}, {&out.AllIn, r.AllIn}, {&out.Travel, r.Travel}, {&out.Total, r.Total}} {
		if len(values[i]) < times/2 || pair.was.Bound == Unknown {
			*pair.into = Estimate{Bound: Unknown}
			continue
		}
		equal := make([]float64, len(values[i]))
		for k := range equal {
			equal[k] = 1 / float64(len(equal))
		}
		*pair.into = middle(values[i], equal)
		pair.into.Bound = pair.was.Bound
	}
	return out, nil
}

// simulated reads a fitted curve at the speeds of its own readings.
func simulated(e *ensemble, run int, size float64, rng *rand.Rand) []Reading {
	c := e.curve(e.best, &e.runs[run].at)
	dm, ds := &e.scratch[0], &e.scratch[1]
	var out []Reading
	for _, o := range e.runs[run].obs {
		held := o.rpm + size*o.sigmaRPM*rng.NormFloat64()
		m, _ := c.expected(held, 0, o.falling, dm, ds)
		reading := Reading{
			RPM: o.rpm, Degrees: m + size*o.sigmaDeg*rng.NormFloat64(),
			SigmaRPM: o.sigmaRPM, SigmaDegrees: o.sigmaDeg,
		}
		if o.falling {
			reading.Direction = flyweights.Falling
		}
		out = append(out, reading)
	}
	return out
}
