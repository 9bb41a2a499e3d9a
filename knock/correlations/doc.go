// Package correlations holds the published fits of engine handbooks that the two-zone
// cycle of package knock stands on, each with its source and range: the burn law of
// Wiebe, laminar flame speed and the growth of burn angles with it, the autoignition
// delay with its integral, the heat that walls take, residual gas and friction.
//
// # Units
//
// SI, with engine speed in rpm, angles in crank degrees and octane numbers as they stand.
//
// # Errors
//
// Functions return errors wrapping [valid.ErrRange] that name the field, its value with unit
// and the valid range.
package correlations
