package job

// setup is what the sheet tells to set: the first recipe, or the present parts with
// clamp and slot changed. Crank degrees and engine rpm.
type setup struct {
	static, travel float64
	allIn          float64 // of the slowest engine of the band
	window         func(rpm float64) (rising, falling, low, high float64, err error)
}

// setup returns what to set, nil where nothing is.
func (w *work) setup() *setup {
	j, c := w.job, w.choice
	switch {
	case c != nil && c.best != nil:
		return &setup{
			static: c.best.Static, travel: c.best.Travel, allIn: c.band.allInHigh,
			window: func(rpm float64) (rising, falling, low, high float64, err error) { return c.window(j, rpm) },
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
		window: w.change.window,
	}
}

// at is the total at a speed that was reached from below.
func (s *setup) at(rpm float64) (float64, error) {
	rising, _, _, _, err := s.window(rpm)
	return rising, err
}
