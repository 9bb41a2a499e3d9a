// Package readings turns timing light readings into the present advance curve,
// with honest uncertainty.
//
// A builder takes 6 to 15 readings by hand: speed off by a few tens of rpm,
// degrees off by one, now and then an outlier. [Fit] finds the curve that made
// them and says how well it is known.
//
// # Model
//
// The curve is that of the moment balance of weights and springs, see the package
// balance: squared speed is a function of angle, with one number for the shape, and
// where a slack spring is taken up on the way a break of its slope and a hold.
// Below its start the light shows the static timing, from the stop on the total.
// Static timing and travel enter linearly and are integrated out in closed form, as
// are the size of the errors and which readings are outliers. What is left, three
// numbers or six, is drawn at random by how well it suits the readings (importance
// sampling with a proposal that adapts; see the code for the source). The seed is fixed: the same readings always give the same
// result.
//
// The readings' errors lie in both coordinates: the expected reading is the curve
// averaged over the true speeds that a tachometer reading allows, and the variance of
// a reading grows with the local slope. A small share of readings is taken to be
// outliers with errors ten times as wide (Tukey, A survey of sampling from
// contaminated distributions, 1960). Probable ones are named in [Result.Outliers].
//
// # Uncertainty
//
// Intervals are the middle 95 % of the curves drawn. Curves of one stage and of two
// count by how probable the readings leave them (Gelman and others, Bayesian Data
// Analysis, third edition 2014, section 7.4), so that an interval covers what both
// allow; that of all-in holds 95 % of either kind where both are probable.
// [Result.Criteria] tells their probabilities. The laws of the numbers before the
// readings are wide, and stand in the code with their reasons.
//
// The package coverage counts over simulated engines how often intervals and limits
// hold the truth, by classes of engines and of readings.
//
// # What else is known
//
// A slot measured or a static timing set while cranking go into [Settings]. Runs with
// different parts fitted go into the package learned together.
//
// # What to do with it
//
// [Diagnose] says in plain words what is wrong and by how much, [Result.Next]
// which reading to take next, and [Result.Expect] what the light must show after a
// change.
//
// # One-sided results
//
// With light springs the advance has begun at idle. If every reading lies above
// the start of the advance, no reading shows the static timing: it is at most
// what the light shows at the lowest speed. The same holds at the top when the
// stop is not reached. A side is stated only where the readings show it with about four
// chances in five, and the interval then allows for the fifth. Else the [Estimate]
// carries [AtMost] or [AtLeast] and only the side that is known; no interval is
// invented.
//
// # Errors
//
// Functions return errors that wrap [valid.ErrRange] and name field, value with unit
// and valid range.
//
// All angles are crank degrees before top centre and all speeds engine rpm.
package readings
