package readings

import (
	"fmt"
	"math"
)

// Settings steer a fit; nil means the defaults, and so does a zero field.
type Settings struct {
	// SigmaRPM and SigmaDegrees are the standard errors of one reading: 25 rpm
	// and 1 crank degree for a hand-held light (common practice, no source).
	SigmaRPM, SigmaDegrees float64
	// Outliers is the share of readings expected to be outliers, below 0.5; the
	// default is 0.03.
	Outliers float64
	// Shape is the law of a ramp.
	Shape Shape
	// Bend is the prior of the bend of a [Balance] ramp: its natural logarithm
	// and the standard error of that. The default is [DefaultBend].
	Bend *Known
	// KnownStatic is the static timing from elsewhere, crank degrees, for
	// example from a timing while cranking; nil if not known. It holds for the
	// first run and those that share its static timing.
	KnownStatic *Known
	// KnownTravel is the full mechanical advance, crank degrees, for example
	// from the slot; nil if not known. It holds for the first run and those that
	// share its travel.
	KnownTravel *Known
	// LowestRPM is the lowest speed at which the engine runs, rpm, such as its idle:
	// [Result.Next] proposes none below it. The default is 500 (common practice, no
	// source), or the lowest reading where that is lower.
	LowestRPM float64
	// MaxSlopes is the most ramps tried, 1 or 2; the default is 2.
	MaxSlopes int
}

// DefaultBend is the prior of the logarithm of the curve's bend. That of pivoted
// weights and tension springs whose layouts are drawn at random spreads by 0.14 where
// no spring joins on the way, and by 0.25 over all, which a knee too small to be seen
// counts among (see the tests of package coverage); the prior lies between. A curve
// of two ramps shares it between them.
var DefaultBend = Known{Value: 0, Sigma: 0.2}

// resolved returns the settings with every default filled in.
func (s *Settings) resolved() (Settings, error) {
	var r Settings
	if s != nil {
		r = *s
	}
	fill := func(v *float64, std float64) {
		if *v == 0 {
			*v = std
		}
	}
	fill(&r.SigmaRPM, 25)
	fill(&r.SigmaDegrees, 1)
	fill(&r.Outliers, 0.03)
	fill(&r.LowestRPM, 500)
	if r.MaxSlopes == 0 {
		r.MaxSlopes = 2
	}
	if r.Bend == nil {
		bend := DefaultBend
		r.Bend = &bend
	}
	switch {
	case !(r.SigmaRPM > 0 && r.SigmaRPM <= 1000):
		return r, outOfRange("speed error", r.SigmaRPM, "rpm crank", "more than 0 and at most 1000")
	case !(r.SigmaDegrees > 0 && r.SigmaDegrees <= 30):
		return r, outOfRange("advance error", r.SigmaDegrees, "deg crank", "more than 0 and at most 30")
	case !(r.LowestRPM > 0 && r.LowestRPM <= maxRPM):
		return r, outOfRange("lowest speed", r.LowestRPM, "rpm crank", "more than 0 and at most 20000")
	case !(r.Outliers > 0 && r.Outliers < 0.5):
		return r, outOfRange("share of outliers", r.Outliers, "", "more than 0 and below 0.5")
	case r.Shape != Balance && r.Shape != Straight:
		return r, outOfRange("shape", float64(r.Shape), "", "Balance or Straight")
	case r.MaxSlopes != 1 && r.MaxSlopes != 2:
		return r, outOfRange("number of slopes", float64(r.MaxSlopes), "", "1 or 2")
	case !(math.Abs(r.Bend.Value) <= 3 && r.Bend.Sigma > 0 && r.Bend.Sigma <= 3):
		return r, fmt.Errorf("%w: bend is %g with standard error %g, valid is -3 to 3 and more than 0 to 3", ErrRange, r.Bend.Value, r.Bend.Sigma)
	}
	if err := r.KnownStatic.check("known static timing", "deg crank"); err != nil {
		return r, err
	}
	return r, r.KnownTravel.check("known travel", "deg crank")
}
