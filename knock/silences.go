package knock

import "math"

// silences makes all stand-ins of one calibration anew, in the model made linear
// about a belief.
type silences struct {
	mean       tweak
	covariance [tweaks][tweaks]float64
	about      tweak // where the model was made linear
	lines      []quietLine
}

// quietLine is the level v of one silence there, with its slopes.
type quietLine struct {
	place  int // in the observations
	v      float64
	slopes tweak
}

// linear takes the belief and the levels of its silences.
func (b belief) linear(points []*point, obs []Observation) *silences {
	s := &silences{mean: b.mean, about: b.mean}
	for _, column := range b.root {
		for i, x := range column {
			for j, y := range column {
				s.covariance[i][j] += x * y
			}
		}
	}
	for i := range obs {
		if obs[i].Kind == NoKnock {
			v, slopes := points[i].miss(&b.mean, &obs[i])
			s.lines = append(s.lines, quietLine{i, v, slopes})
		}
	}
	return s
}

// at returns the mean and variance of a level as believed now, and the covariance
// of the tweaks with it.
func (s *silences) at(l *quietLine) (mean, variance float64, with tweak) {
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

// settle renews one stand-in after another, each at once in the belief for the next,
// round and round until none moves. All at a time would swing: two silences that say
// the same would both correct for what neither has yet said. It returns how far the
// level of a silence has come from where the model was made linear, in its own
// deviations; with an error, the place of the silence that is refused.
func (s *silences) settle(stand []silence) (moved float64, refused int, err error) {
	const rounds, still = 500, 1e-6
	for range rounds {
		largest := 0.0
		for k := range s.lines {
			l := &s.lines[k]
			mean, variance, with := s.at(l)
			old := stand[l.place]
			next, err := old.renew(mean, variance)
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
