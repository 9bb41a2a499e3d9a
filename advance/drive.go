package advance

import "math"

// Drive is the number of crankshaft revolutions per revolution of the
// distributor shaft. It converts speeds and angles between the two shafts and
// is the only place in the project where their ratio stands.
//
// The zero value is not a drive: [Drive.Check] refuses it.
type Drive float64

const (
	// FourStroke is the drive of a four-stroke engine's distributor, geared to
	// the camshaft (common practice, no source): the cylinder fires once in two
	// crank revolutions.
	FourStroke Drive = 2
	// CrankSpeed is the drive of a distributor that turns with the crankshaft,
	// as on a two-stroke engine.
	CrankSpeed Drive = 1
)

const (
	radPerDegree = math.Pi / 180
	radPerSecRPM = 2 * math.Pi / 60 // rad/s in one revolution per minute
)

// Check refuses a drive that is not a ratio of 1/4 to 4.
func (d Drive) Check() error {
	if !(d >= 0.25 && d <= 4) {
		return outOfRange("drive ratio", float64(d), "crank turns per distributor turn", "0.25 to 4")
	}
	return nil
}

// RPM returns the engine speed (crank rpm) at which the distributor shaft turns
// at omega rad/s.
func (d Drive) RPM(omega float64) float64 { return omega / radPerSecRPM * float64(d) }

// Omega returns the speed of the distributor shaft in rad/s at an engine speed
// in crank rpm.
func (d Drive) Omega(rpm float64) float64 { return rpm / float64(d) * radPerSecRPM }

// CrankDegrees returns the crank degrees that pass while the distributor shaft
// turns by theta rad.
func (d Drive) CrankDegrees(theta float64) float64 { return theta / radPerDegree * float64(d) }

// ShaftRadians returns the rotation of the distributor shaft in rad while the
// crankshaft turns by deg degrees.
func (d Drive) ShaftRadians(deg float64) float64 { return deg / float64(d) * radPerDegree }

// DelayDegrees returns the crank degrees that pass at an engine speed in rpm
// during a delay in seconds, for example that of a pickup and coil: the spark is
// late by so much. One revolution is 360 degrees, one minute 60 seconds.
func DelayDegrees(delay, rpm float64) float64 { return delay * rpm * 360 / 60 }
