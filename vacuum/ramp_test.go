package vacuum

import "math"

// at is the angle at a vacuum.
func (r ramp) at(v float64, falling bool) float64 {
	if falling {
		v += r.hysteresis
	}
	return r.most * math.Max(0, math.Min(1, (v-r.onset)/(r.full-r.onset)))
}
