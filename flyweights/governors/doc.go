// Package governors holds the centrifugal governors of the textbooks, Watt,
// Porter, Proell, Hartnell, Wilson-Hartnell and Hartung, as linkages of the same
// physics as the advance mechanism of package flyweights: a speed that is an
// explicit function of position. They are what that physics is checked against,
// and the words for a mechanism's manners come from them: stability,
// isochronism, sensitiveness, insensitiveness, effort and power.
//
// # Model
//
// Two balls turn about an upright axis at omega. One coordinate q (rad) places
// them at the radius r(q) and height z(q) and the sleeve at the lift s(q).
// Virtual work, with gravity, springs and a friction f on the sleeve:
//
//	2 m omega^2 r r' = 2 m g z' + (M g + S ± f) s' + 2 P r'
//
// S is the sleeve spring's thrust downwards and P the ball springs' pull inwards
// on each ball. Arms have no weight. The obliquity of arms is exact unless a
// linkage is said to be straight, as textbooks take the bell cranks of spring
// loaded governors.
//
// # Units and errors
//
// SI. Errors wrap [valid.ErrRange]; no NaN or Inf is returned without one.
package governors
