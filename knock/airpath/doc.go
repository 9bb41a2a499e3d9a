// Package airpath follows the air on its way into an engine: past the throttle,
// through the manifold, into the cylinders.
//
// It is a mean-value model: the strokes of the single cylinders are smeared out
// over the cycle. The engine is that of package knock, with a few further figures
// in [Intake]: cylinders, filling, valve overlap, compression ratio and friction
// are described once.
//
//   - [Throttle] is the butterfly and how much it passes.
//   - [Path] is intake and throttle in the air of the day: flows, and the steady
//     manifold pressure at a throttle opening.
//   - [Intake.Demand] is the manifold pressure at which the engine does a [Load],
//     at idle or on the road ([Vehicle]).
//
// # Units
//
// SI with Pa absolute; throttle angles in rad, speeds in rpm of the crankshaft.
// The engine is a four-stroke.
//
// # Errors
//
// Functions return errors that wrap [valid.ErrRange], or that of package knock or air,
// and name the field, the value with its unit and the valid range. No NaN or Inf
// is returned without an error. Methods without an error result take the nearer
// end of their range for an argument beyond it, and return 0 for NaN.
//
// # Not covered
//
// Pressure waves in the pipes, the loss of the air filter and of the venturi, fuel
// on the walls.
package airpath

import (
	"example.org/bobweight/springs/valid"
)

// errRange is [valid.ErrRange] in the name of this package.
var errRange = valid.Sentinel("airpath")
