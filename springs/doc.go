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
// # From wire to law
//
// [Material] is wire with its moduli, strength and density; [Wire] a coil of it,
// with rate, stress and surge frequency; [Part] a whole spring with loops and
// initial tension, whose law is [Part.Spring]. [InitialStress] says how much
// tension close winding holds, [Part.Static] and [Part.Fatigue] what a part
// survives at the ends of its travel, [Part.Spread] and the tolerance tables how
// far a made one may lie off. [Compression] serves the spring of a diaphragm
// unit.
//
// # From measurement to law
//
// [Measure] takes lengths and loads read on a bench, with their errors, to rate
// and initial tension with covariance; [MeasureWhole] finds the free length too,
// from readings with the coils still closed.
//
// # At the bench
//
// [Part.CutCoils], [Spring.CutCoils], [Spring.BendLoop], [Spring.Slotted],
// [Spring.MovePost] and [Spring.Warmed] say what cutting turns, bending a loop,
// filling or filing its slot, moving a post and heat do. [Design] goes the other
// way: which wire, coil and turns make a spring of a wanted rate and tension.
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
// # What it rests on
//
// Formulas and tables are cited where they stand. Most are those of R. G. Budynas
// and J. K. Nisbett, Shigley's Mechanical Engineering Design, chapter 10, and
// are held against that book's examples and those of ten others, tables of
// ASTM, EN and DIN standards and York's line in testdata/corpus. What is from
// memory or common practice says so.
//
// # Not covered
//
// Bending of the coil under a side load, corrosion, and relaxation under heat
// over months. Strength is that of wire as delivered: a loop bent cold with
// pliers, a nick or rust takes far more off than any tolerance here. A spring
// that breaks at speed lets the mechanism go to its stop; let factors of safety
// be generous, and check a changed spring on a bench before it runs.
package springs
