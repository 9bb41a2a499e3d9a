package readings

import (
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/valid"
)

// maxReadings is the most readings that one fit takes. A hand-held light gives
// ten or twenty; a table with more than this is a log of another kind, to be
// thinned first.
const maxReadings = 2000

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
	Cylinder               int // whose spark was read, from 1; 0 where not noted. The fit takes all alike
}

// Check refuses a reading outside the ranges stated at its fields.
func (r Reading) Check() error {
	if r.Direction != flyweights.Rising && r.Direction != flyweights.Falling {
		return valid.Refuse(errRange, "direction", float64(r.Direction), "", "Rising or Falling")
	}
	for _, own := range []valid.Range{
		valid.In("speed error", r.SigmaRPM, rpmCrank, leastSigmaRPM, maxRPM),
		valid.In("advance error", r.SigmaDegrees, degCrank, leastSigmaDegrees, maxDegrees),
	} {
		if own.Value == 0 {
			continue // that of all
		}
		if err := valid.Check(errRange, own); err != nil {
			return err
		}
	}
	return valid.Check(errRange,
		valid.Above("speed", r.RPM, rpmCrank, 0, maxRPM),
		valid.In("advance", r.Degrees, degCrank, -maxDegrees, maxDegrees),
		valid.In("vacuum", r.Vacuum, "Pa", 0, 110e3),
		valid.In("cylinder", float64(r.Cylinder), "", 0, maxCylinders))
}

// No light or tachometer comes near these errors; smaller ones leave the fit without
// digits.
const (
	leastSigmaRPM     = 0.01
	leastSigmaDegrees = 0.001
)

// maxCylinders is the most cylinders of an engine.
const maxCylinders = 16

// Known is a fact from elsewhere with its standard error, such as a slot
// measured with a calliper or a timing set while cranking.
type Known struct {
	Value, Sigma float64 // in the unit of the quantity; Sigma more than 0
}

func (k *Known) check(field, unit string) error {
	if k == nil {
		return nil
	}
	return valid.Check(errRange,
		valid.In(field, k.Value, unit, -maxDegrees, maxDegrees),
		valid.Above("standard error of "+field, k.Sigma, unit, 0, maxDegrees))
}
