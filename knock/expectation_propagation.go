package knock

import (
	"context"
	"math"

	"example.org/bobweight/springs/workers"
)

// linearized makes all sites of one calibration anew, in the model made linear
// about a posterior.
type linearized struct {
	mean       parameters
	covariance [parameterCount][parameterCount]float64
	about      parameters // where the model was made linear
	lines      []censoredLevel
}

// censoredLevel is the level v of one no-knock observation there, with its slopes.
type censoredLevel struct {
	place  int // in the observations
	v      float64
	slopes parameters
}

// linearize takes the posterior and the levels of its no-knock observations.
func (b posterior) linearize(ctx context.Context, obs []Observation, miss func(mean *parameters, i int, renew bool) (float64, parameters)) (*linearized, error) {
	s := &linearized{mean: b.mean, about: b.mean}
	for _, column := range b.root {
		for i, x := range column {
			for j, y := range column {
				s.covariance[i][j] += x * y
			}
		}
	}
	for i := range obs {
		if obs[i].Kind == NoKnock {
			s.lines = append(s.lines, censoredLevel{place: i})
		}
	}
	err := workers.Pool{}.Each(ctx, len(s.lines), func(k int) error {
		l := &s.lines[k]
		l.v, l.slopes = miss(&b.mean, l.place, false)
		return nil
	})
	return s, err
}

// at returns the mean and variance of a level as believed now, and the covariance
// of the parameters with it.
func (s *linearized) at(l *censoredLevel) (mean, variance float64, with parameters) {
	mean = l.v
	for i, h := range l.slopes {
		mean += h * (s.mean[i] - s.about[i])
		for j, g := range l.slopes {
			with[i] += s.covariance[i][j] * g
		}
		variance += h * with[i]
	}
	return mean, variance, with
}

// updateSites updates one site after another, each at once in the posterior for the next,
// round and round until none moves. All at a time would swing: two no-knock observations that say
// the same would both correct for what neither has yet said. It returns how far the
// level of a no-knock observation has come from where the model was made linear, in its own
// deviations; with an error, the place of the no-knock observation that is refused.
func (s *linearized) updateSites(stand []site) (moved float64, refused int, err error) {
	const rounds, still = 500, 1e-6
	for range rounds {
		largest := 0.0
		for k := range s.lines {
			l := &s.lines[k]
			mean, variance, with := s.at(l)
			old := stand[l.place]
			next, err := old.update(mean, variance)
			if err != nil {
				return 0, l.place, err
			}
			more := next.precision - old.precision
			gain := (next.at*next.precision - old.at*old.precision - more*mean) / (1 + more*variance)
			less := more / (1 + more*variance)
			for i := range s.mean {
				s.mean[i] += with[i] * gain
				for j := range s.mean {
					s.covariance[i][j] -= with[i] * with[j] * less
				}
			}
			stand[l.place] = next
			largest = math.Max(largest, math.Abs(gain)*math.Sqrt(variance))
		}
		if largest < still {
			break
		}
	}
	for k := range s.lines {
		mean, variance, _ := s.at(&s.lines[k])
		moved = math.Max(moved, math.Abs(mean-s.lines[k].v)/math.Sqrt(variance))
	}
	return moved, 0, nil
}
