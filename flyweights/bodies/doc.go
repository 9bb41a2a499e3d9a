// Package bodies says what a flat weight weighs and where its mass sits: from a
// drawing of its outline, its thickness and its density to mass, centre and
// inertia, and from a wanted centrifugal moment back to the hole to drill.
//
// An [Outline] is a closed run of straight lines and circular arcs. Its area,
// first and second moments come from Green's theorem, one boundary integral an
// edge ([Outline.Section]). Times thickness and density that is a [Body]. Bodies
// are added and subtracted.
//
// In the rotating frame of a plate only the mass and its centre act: a weight
// that swings on a pivot at P, with its centre of mass at C, turns its pivot
// with the moment
//
//	w^2 m dR^2/dphi / 2 = w^2 m (C x P)
//
// at shaft speed w. The cross product is linear in C, so every hole and every
// plug adds its own share. [Swing] holds that bookkeeping.
//
// # Units and frame
//
// SI: m, kg, kg m^2, rad. Points are in the plate frame at rest, origin on the
// shaft axis, x to y counter-clockwise. Inertia is about the axis through the
// centre of mass and normal to the plate.
//
// # Errors
//
// Bad data is refused with errors that wrap [valid.ErrRange] and name the field, the
// value with its unit and the valid range. No NaN or Inf comes without one.
//
// # Not covered
//
// Rims that are not square to the plate, and parts whose mass is not uniform
// through the thickness: cut them into flat parts and add.
package bodies
