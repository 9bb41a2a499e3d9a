// Package readings turns timing light readings into the present advance curve,
// with honest uncertainty.
//
// A builder takes 6 to 15 readings by hand: speed off by a few tens of rpm,
// degrees off by one, now and then an outlier. [Fit] finds the curve that made
// them and says how well it is known.
//
// # Model
//
// The curve is a plateau (the static timing), one or two ramps and a plateau
// (all in). A ramp is bent as the moment balance of weights and springs bends
// it, see [Balance], or straight, see [Straight]. The readings' errors lie in
// both coordinates: the expected reading is the curve averaged over the true
// speeds that a tachometer reading allows, and the variance of a reading grows
// with the local slope. A small share of readings is taken to be outliers with
// errors [outlierWidth] times as wide (Tukey, A survey of sampling from contaminated
// distributions, 1960), so that one of them cannot pull the curve; those that
// are more likely an outlier than not are named in [Result.Outliers].
//
// # Uncertainty
//
// Intervals are 95 % intervals of profile likelihood (Bates and Watts,
// Nonlinear Regression Analysis and Its Applications, 1988, chapter 6). The
// number of ramps is chosen by the Bayesian information criterion (Schwarz,
// Estimating the dimension of a model, Annals of Statistics 6, 1978, pp.
// 461-464).
//
// The intervals cover what rival curves allow that explain the readings nearly as
// well, and they widen or narrow with the scatter found. Each end of an interval is
// wrong in about 2.5 of 100 cases, a limit on one side in about 5: the lower
// threshold is that of a likelihood ratio at the edge of what can be seen (Chernoff
// 1954, Self and Liang 1987, see the code). [Result.Bootstrap] is a cross-check by
// another method; the package coverage counts over simulated engines how often
// intervals and limits hold the truth.
//
// Which of the two is stated, the readings decide, and that has a price. Of engines
// with two or more readings below the start, a third are stated on one side, and
// among those one limit in ten fails; of engines whose advance has begun at the
// lowest reading, one limit in a hundred. The 95 of 100 are the whole's.
//
// # What else is known
//
// A slot measured or a static timing set while cranking go into [Settings]. Runs
// between which one thing was changed go into [FitRuns] together. Parts that were
// weighed and measured go into [FitParts], which fits the mechanism's own moment
// balance instead of a free curve.
//
// # What to do with it
//
// [Diagnose] says in plain words what is wrong and by how much, [Result.Next]
// which reading to take next, [Result.Expect] what the light must show after a
// change, and [Result.Judge] whether it does.
//
// # One-sided results
//
// With light springs the advance has begun at idle. If every reading lies above
// the start of the advance, no reading shows the static timing: it is at most
// what the light shows at the lowest speed. The same holds at the top when the
// stop is not reached. Such an [Estimate] carries [AtMost] or [AtLeast] and only
// the side that is known; no interval is invented.
//
// # Errors
//
// Functions return errors that wrap [ErrRange] and name field, value with unit
// and valid range. [ErrOneSided] is wrapped where a two-sided answer does not
// exist.
//
// All angles are crank degrees before top centre and all speeds engine rpm.
package readings
