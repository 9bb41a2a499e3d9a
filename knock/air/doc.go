// Package air holds the air around an engine and its flow through openings.
//
//   - [Ambient] is pressure and temperature of the air; [Standard] gives
//     them for an altitude.
//   - [Gas] is a perfect gas; its flow through a nozzle or two openings in series
//     is isentropic and chokes.
//   - [Through] and [Between] are the same for dry air, for loops: they take no
//     wrong argument for an error, but give 0.
//
// The engine's cycle, its air path and the vacuum hose share this package.
//
// Units are SI: Pa absolute, K, kg, m, s.
//
// # Errors
//
// Functions return errors that wrap [valid.ErrRange] and name the field, the value
// with its unit and the valid range. NaN and infinite input is refused, and no
// NaN or Inf is returned without an error.
//
// # Not covered
//
// Water vapour is left out. Saturated air at 303 K holds 4 kPa of it, which takes
// the place of so much air and weakens the charge. It does not change a vacuum
// that is measured against the same air.
package air

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("air")
