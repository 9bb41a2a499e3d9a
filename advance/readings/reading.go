package readings

import (
	"fmt"

	"example.org/bobweight/advance"
	"example.org/bobweight/flyweights"
)

// MaxReadings is the most readings that one fit takes. A hand-held light gives
// ten or twenty; a table with more than this is a log of another kind, to be
// thinned first.
const MaxReadings = 2000

const (
	maxRPM     = 20000 // rpm, above any carburetted engine
	maxDegrees = 180   // crank degrees either side of top centre
)

// Reading is what a timing light and a tachometer show at one moment.
type Reading struct {
	RPM       float64              // engine speed, crank rpm, more than 0 and at most 20,000
	Degrees   float64              // crank degrees before top centre, -180 to 180
	HoseOn    bool                 // the vacuum hose was connected
	Vacuum    float64              // Pa below ambient at the hose, 0 or more; used where HoseOn
	Direction flyweights.Direction // whether the speed was rising or falling towards the reading
	// SigmaRPM and SigmaDegrees are this reading's own standard errors, rpm and
	// crank degrees; 0 takes those of the settings.
	SigmaRPM, SigmaDegrees float64
}

// Bench returns the reading of a distributor on a bench machine: shaftRPM in
// rpm of the distributor shaft and shaftDegrees in degrees of that shaft,
// brought to the crankshaft by the drive. The zero mark of a bench machine is
// its own, so bench readings belong in a [Run] of their own that does not share
// the static timing.
func Bench(d advance.Drive, shaftRPM, shaftDegrees float64) (Reading, error) {
	if err := d.Check(); err != nil {
		return Reading{}, fmt.Errorf("readings: bench reading: %w", err)
	}
	r := Reading{
		RPM:     shaftRPM * float64(d),
		Degrees: shaftDegrees * float64(d),
	}
	return r, r.Check()
}

// Check refuses a reading outside the ranges stated at its fields.
func (r Reading) Check() error {
	switch {
	case !(r.RPM > 0 && r.RPM <= maxRPM):
		return outOfRange("speed", r.RPM, "rpm crank", "more than 0 and at most 20000")
	case !(r.Degrees >= -maxDegrees && r.Degrees <= maxDegrees):
		return outOfRange("advance", r.Degrees, "deg crank", "-180 to 180")
	case !(r.Vacuum >= 0 && r.Vacuum <= 110e3):
		return outOfRange("vacuum", r.Vacuum, "Pa", "0 to 110000")
	case r.Direction != flyweights.Rising && r.Direction != flyweights.Falling:
		return outOfRange("direction", float64(r.Direction), "", "Rising or Falling")
	case !(r.SigmaRPM >= 0 && r.SigmaRPM <= maxRPM):
		return outOfRange("speed error", r.SigmaRPM, "rpm crank", "0 to 20000")
	case !(r.SigmaDegrees >= 0 && r.SigmaDegrees <= maxDegrees):
		return outOfRange("advance error", r.SigmaDegrees, "deg crank", "0 to 180")
	}
	return nil
}

// Known is a fact from elsewhere with its standard error, such as a slot
// measured with a calliper or a timing set while cranking.
type Known struct {
	Value, Sigma float64 // in the unit of the quantity; Sigma more than 0
}

func (k *Known) check(field, unit string) error {
	if k == nil {
		return nil
	}
	if !(k.Value >= -maxDegrees && k.Value <= maxDegrees) {
		return outOfRange(field, k.Value, unit, "-180 to 180")
	}
	if !(k.Sigma > 0 && k.Sigma <= maxDegrees) {
		return outOfRange("standard error of "+field, k.Sigma, unit, "more than 0 and at most 180")
	}
	return nil
}
