package readings

import (
	"fmt"

	"example.org/bobweight/advance/readings/balance"
)

// Settings steer a fit; nil means the defaults, and so does a zero field.
type Settings struct {
	// SigmaRPM and SigmaDegrees are the standard errors of one reading: 25 rpm
	// and 1 crank degree for a hand-held light (common practice, no source).
	SigmaRPM, SigmaDegrees float64
	// Outliers is the share of readings expected to be outliers, below 0.5; the
	// default is 0.05.
	Outliers float64
	// KnownStatic is the static timing from elsewhere, crank degrees, for
	// example from a timing while cranking; nil if not known.
	KnownStatic *Known
	// KnownTravel is the full mechanical advance, crank degrees, for example
	// from the slot; nil if not known.
	KnownTravel *Known
	// Listed is the curve that the parts should give as they are listed, see the
	// function of the same name; nil if not known. It counts as long as the readings
	// leave it probable; where they contradict it, [Diagnose] says so.
	Listed *balance.Curve
	// LowestRPM is the lowest speed at which the engine runs, rpm, such as its idle:
	// [Result.Next] proposes none below it. The default is 500 (common practice, no
	// source), or the lowest reading where that is lower.
	LowestRPM float64
}

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
	fill(&r.Outliers, 0.05)
	fill(&r.LowestRPM, 500)
	switch {
	case !(r.SigmaRPM > 0 && r.SigmaRPM <= 1000):
		return r, outOfRange("speed error", r.SigmaRPM, "rpm crank", "more than 0 and at most 1000")
	case !(r.SigmaDegrees > 0 && r.SigmaDegrees <= 30):
		return r, outOfRange("advance error", r.SigmaDegrees, "deg crank", "more than 0 and at most 30")
	case !(r.LowestRPM > 0 && r.LowestRPM <= maxRPM):
		return r, outOfRange("lowest speed", r.LowestRPM, "rpm crank", "more than 0 and at most 20000")
	case !(r.Outliers > 0 && r.Outliers < 0.5):
		return r, outOfRange("share of outliers", r.Outliers, "", "more than 0 and below 0.5")
	}
	if r.Listed != nil {
		if err := r.Listed.Check(); err != nil {
			return r, fmt.Errorf("%w: listed parts: %w", errRange, err)
		}
	}
	if err := r.KnownStatic.check("known static timing", "deg crank"); err != nil {
		return r, err
	}
	return r, r.KnownTravel.check("known travel", "deg crank")
}
