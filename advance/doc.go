// Package advance puts a distributor on an engine: spark advance in crank
// degrees before top centre over engine rpm.
//
// The packages below this one (springs, flyweights, vacuum) speak of the
// distributor shaft in SI units. This package speaks of the crankshaft, because
// that is where a timing light is pointed. The one place where the two meet is
// [Drive]; no other line of the project knows that a four-stroke distributor
// turns at half crank speed.
//
// The sum of what the light shows is
//
//	total = static + mechanical(rpm) + vacuum(port vacuum) - electrical delay(rpm)
//
// with all angles in crank degrees, positive before top dead centre (BTDC).
//
// Sub-packages hold one idea each: quantity reads values with their units,
// readings recovers the present curve from a timing light, recipes chooses
// parts, sheet says what to set and check, and job reads the file that ties a
// whole task together.
//
// # Errors
//
// Data that a caller can pass never panics: functions return errors that wrap
// [valid.ErrRange] and name the field, the value with its unit and the valid range.
// NaN and infinite input is refused, so no NaN or Inf is ever returned without
// an error.
package advance
