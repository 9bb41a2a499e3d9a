// Package springs holds one helical extension spring: how hard it pulls at a
// length, and where that pull comes from.
//
// A close-wound extension spring between two posts follows the law
//
//	T = 0                         up to the take-up length L0 + slack
//	T = Ti + k (L - L0 - slack)   beyond it
//
// with free length L0 inside the hooks, initial tension Ti (wound in; the coils
// press on each other until it is overcome) and rate k. Slack is the play of a
// long loop before the coils are pulled at all. [Spring] is that law and all that
// a mechanism needs.
//
// # From measurement to law
//
// [Measure] takes lengths and loads read on a bench, with their errors, to rate
// and initial tension with covariance; [MeasurePiecewise] finds the free length too,
// from readings with the coils still closed.
//
// # At the bench
//
// [Spring.CutCoils] says what cutting turns does. A loop bent longer or shorter changes
// FreeLength, a slot filed or filled changes Slack. A post is moved by the difference of
// the length that [Spring.Length] gives for the tension wanted there and the present one.
//
// The chapter behind this package, springs/design, goes from wire and coil to the
// law, to strength and tolerances, and back. The packages root, workers and
// valid beside it hold no physics: they are what all packages of the module share.
//
// # Units
//
// SI throughout: m, N, N/m, Pa, kg, K, Hz. Lengths are inside the hooks.
//
// # Errors
//
// Functions refuse bad data with errors that wrap [valid.ErrRange] and name the
// field, the value with its unit and the valid range. [Spring.Tension] and
// [Spring.Energy], which stand in inner loops, cannot: they return 0 for a
// length that is not finite, and expect a spring that passed [Spring.Check].
//
// # What it rests on
//
// Formulas are cited where they stand. The fit is held against York's line in
// testdata/corpus, the law against textbook examples there.
//
// # Not covered
//
// Bending of the coil under a side load, corrosion, and relaxation under heat
// over months. A spring that breaks at speed lets the mechanism go to its stop:
// check a changed spring on a bench before it runs.
package springs
