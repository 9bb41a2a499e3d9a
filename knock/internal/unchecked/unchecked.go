// Package unchecked holds the constants of the published fits that a calibration varies,
// and the parts of those fits that stand in the cycle's innermost loop. Package
// correlations gives the same fits with their ranges checked and their sources.
package unchecked

import "math"

// ReferenceRPM is the engine speed at which burn angles are given and about which
// exponents of speed turn, crank rpm.
const ReferenceRPM = 2000.0

// The published constants of the autoignition delay, see correlations.Delay.
const (
	OctaneExponent   = 3.402
	PressureExponent = 1.7
	Activation       = 3800.0 // K
)

const (
	atmosphere   = 101325.0 // Pa
	delaySeconds = 17.68e-3
	pivotKelvin  = 800.0
)

var pivotLog = math.Log(30 * atmosphere)

// Rate is the logarithm of 1/tau at one octane number, tau in s:
// Constant + Pressure ln p - Activation/T, p in Pa and T in K.
type Rate struct{ Constant, Pressure, Activation float64 }

// Log returns ln(1/tau) from the logarithm of a pressure in Pa and a temperature in K > 0.
func (r Rate) Log(lnPascal, kelvin float64) float64 {
	return r.Constant + r.Pressure*lnPascal - r.Activation/kelvin
}

// Delay returns the rate of the delay of correlations.Delay with a scale, a pressure
// exponent and an activation temperature in K, at an octane number > 0.
func Delay(scale, pressure, activation, octane float64) Rate {
	at := PressureExponent*(pivotLog-math.Log(atmosphere)) - Activation/pivotKelvin
	return Rate{
		Constant:   at - math.Log(scale*delaySeconds) - OctaneExponent*math.Log(octane/100) - pressure*pivotLog + activation/pivotKelvin,
		Pressure:   pressure,
		Activation: activation,
	}
}

// PistonShare is the share of the mean piston speed in correlations.GasSpeed while the
// valves are shut.
const PistonShare = 2.28

// CombustionShare is the factor of the rise of pressure in correlations.GasSpeed,
// m/(s Pa), from the swept volume in m3 and the reference state in K, Pa and m3.
func CombustionShare(swept, kelvin, pascal, volume float64) float64 {
	return 3.24e-3 * swept * kelvin / (pascal * volume)
}

// LogWallFactor is the logarithm of the factor before p^0.8 T^-0.55 w^0.8 in
// correlations.WallCoefficient, p in Pa, for a bore in m > 0.
func LogWallFactor(bore float64) float64 {
	return math.Log(3.26 * math.Pow(bore, -0.2) * math.Pow(1e-3, 0.8))
}

// SpeedExponent and FlameExponent are the published exponents of the burn angle over
// engine speed and over laminar flame speed, see correlations.LaminarFlame.BurnAngleRatio.
const SpeedExponent, FlameExponent = 1.0 / 3, 2.0 / 3

// Backflow is the first term of correlations.ResidualFraction, the flow back through the
// valve overlap.
func Backflow(rpm, overlapFactor, inlet, exhaust float64) float64 {
	return 1.266 * overlapFactor / (rpm / 60) * math.Pow(inlet/exhaust, -0.87) * math.Sqrt(math.Abs(exhaust-inlet)/1e5)
}
