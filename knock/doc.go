// Package knock says what a spark-ignition engine wants and what it tolerates: the
// spark of best torque, the spark at which the end gas begins to knock, and the
// torque given up in between, each with the band in which it lies.
//
// The model is a cycle in two zones. A slider-crank moves the piston; a fresh
// charge with its residual gas is compressed; a burn given by its 0-10 and 10-90 %
// angles turns it into equilibrium products; the walls take heat; ahead of the
// flame an autoignition integral runs over the end gas. Knock is the integral
// reaching one before 95 % has burned.
//
// Absolute prediction from bore, stroke and compression ratio alone is uncertain by
// several degrees. That is why every limit comes with a band, and why
// [Model.Calibrate] takes what has been heard and felt on the engine itself.
//
// # Cautions
//
// Audible knock is damage under way. Start retarded and listen; the numbers here are
// estimates, not permissions. Fuel and emission law, and the rules of licensed
// practice where the work is done for others, come first.
//
// # Units
//
// SI, with engine speed in rpm and angles in crank degrees; spark is positive before
// top centre, other angles of a cycle are positive after it.
//
// # Errors
//
// Functions return errors wrapping [ErrRange] that name the field, its value with
// unit and the valid range. No NaN or Inf leaves the package without an error.
// Results do not depend on the number of processors.
package knock
