// Package springs holds one helical extension spring: how hard it pulls at a
// length, and where that pull comes from.
//
// A close-wound extension spring between two posts follows the law
//
//	T = 0                      up to the take-up length L0 + slack
//	T = Ti + k (L - L0 - slack)  beyond it
//
// with free length L0 inside the hooks, initial tension Ti (wound in, the coils
// press on each other until it is overcome) and rate k. Slack is the play of a
// long loop before the coils are pulled at all. [Spring] is that law; the rest
// of the package says what its numbers are for a given wire, what a given wire
// survives, and what numbers a measured spring has.
//
// # Units
//
// SI throughout: m, N, N/m, Pa, kg, K, Hz. Lengths are inside the hooks.
//
// # Errors
//
// Functions refuse bad data with errors that wrap [ErrRange] and name the
// field, the value with its unit and the valid range. [Spring.Tension] and
// [Spring.Energy], which stand in inner loops, cannot: they return 0 for a
// length that is not finite, and expect a spring that passed [Spring.Check].
//
// # Not covered
//
// Buckling, bending of the coil under a side load, inertia of the coils beyond
// the surge frequency, and relaxation under heat over months: none changes the
// curve of a spark-advance mechanism by more than its tolerance of rate.
package springs
