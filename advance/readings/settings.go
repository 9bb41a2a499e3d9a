package readings

import (
	"fmt"

	"example.org/bobweight/advance/internal/balance"
	"example.org/bobweight/springs/valid"
)

// Settings steer a fit; nil means the defaults, and so does a zero field.
type Settings struct {
	// SigmaRPM and SigmaDegrees are the standard errors of one reading: 25 rpm
	// and 1 crank degree for a hand-held light (common practice, no source).
	SigmaRPM, SigmaDegrees float64
	// Outliers is the share of readings expected to be outliers, at most 0.49; the
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

// mostOutlying is the greatest share of outliers: with half of the readings nothing
// tells which half is right.
const mostOutlying = 0.49

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
	err := valid.Check(errRange,
		valid.In("speed error", r.SigmaRPM, "rpm crank", leastSigmaRPM, 1000),
		valid.In("advance error", r.SigmaDegrees, "deg crank", leastSigmaDegrees, 30),
		valid.Above("lowest speed", r.LowestRPM, "rpm crank", 0, maxRPM),
		valid.Above("share of outliers", r.Outliers, "", 0, mostOutlying))
	if err != nil {
		return r, err
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
