package job

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/vacuum"
)

// setup is what the sheet tells to set: the first recipe, or the present parts with
// clamp and slot changed. Crank degrees and engine rpm.
type setup struct {
	static, travel float64
	allIn          float64 // of the slowest engine of the band
	window         func(rpm float64) (rising, falling, low, high float64, err error)
	risk           risk
	known          *flyweights.Curve // of its parts; nil where only the readings tell
}

// setup returns what to set, nil where nothing is.
func (w *work) setup() *setup {
	j, c := w.job, w.choice
	switch {
	case c != nil && c.best != nil:
		return &setup{
			static: c.best.Static, travel: c.best.Travel, allIn: c.band.allInHigh,
			window: func(rpm float64) (rising, falling, low, high float64, err error) { return c.window(j, rpm) },
			known:  c.best.Curve, risk: c.risk,
		}
	case c != nil && !j.learned(), w.change == nil, len(w.change.stop) > 0:
		return nil
	}
	allIn, ok := w.change.allIn(j)
	if !ok || !w.change.clampOnly && w.change.remove < 0 {
		return nil // a stop that moves outwards was never seen
	}
	return &setup{
		static: w.change.static, travel: w.change.total - w.change.static, allIn: allIn,
		window: w.change.window, risk: w.change.risk,
	}
}

// at is the total at a speed that was reached from below.
func (s *setup) at(rpm float64) (float64, error) {
	rising, _, _, _, err := s.window(rpm)
	return rising, err
}

// distributor is what is to be set as it stands on the engine, with a vacuum unit.
func (s *setup) distributor(j *Job, unit *vacuum.Unit) (*advance.Distributor, error) {
	curve, err := s.known, error(nil)
	if curve == nil {
		curve, err = s.traced(j)
	}
	return &advance.Distributor{Drive: j.Drive, Static: s.static, Mechanism: curve, Vacuum: unit}, err
}

// traced is a mechanism with the curve that the readings show: weights of a constant
// moment against a restoring moment of as much at every position as holds them there
// at the speed at which they were seen.
func (s *setup) traced(j *Job) (*flyweights.Curve, error) {
	const step, least = 25.0, 1e-5 // rpm, and rad that a position must lie past the one before
	var theta, square []float64
	for rpm := step; rpm <= j.Top; rpm += step {
		at, err := s.at(rpm)
		if err != nil {
			return nil, err
		}
		x, w := j.Drive.ShaftRadians(at-s.static), j.Drive.Omega(rpm)
		switch n := len(theta); {
		case x < least:
			theta, square = []float64{0}, []float64{w * w} // the last speed before it begins
		case n == 0:
			theta, square = []float64{0, x}, []float64{0, w * w}
		case x > theta[n-1]+least:
			theta, square = append(theta, x), append(square, w*w)
		}
	}
	if len(theta) < 2 {
		return nil, fmt.Errorf("job: the readings show no advance up to %.0f rpm crank", j.Top)
	}
	last := len(theta) - 1
	return flyweights.Trace(nil, theta[last], func(phi float64) flyweights.Moments {
		i := 1
		for i < last && theta[i] < phi {
			i++
		}
		slope := (square[i] - square[i-1]) / (theta[i] - theta[i-1])
		return flyweights.Moments{Weights: 1, Restore: square[i-1] + slope*(phi-theta[i-1]), DRestore: slope, Theta: phi, DTheta: 1}
	})
}
