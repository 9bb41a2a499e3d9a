// Package learned finds what springs, weights and stops do to the advance curve from
// runs of readings with different parts fitted: without a spring tester, a scale or
// any dimension of the mechanism.
//
// # The law
//
// At one mechanical advance the moments of the springs add, and those of the weights
// divide. In the units of a light and a tachometer,
//
//	n^2(angle) = [sum of the springs' shares + drag] / factor of the weights
//
// the slot cuts the curve at its travel and the clamp adds the static timing. So a
// mixed pair of springs lies half-way between the two equal pairs in squared speed at
// equal angle: not in advance at equal speed, which is off by 4 to 8 crank degrees.
//
// # How to use it
//
// [Fit] takes [Run]s and gives a [Result]:
//
//   - [Result.Predict] gives the curve of any [Combination] of the parts, fitted or
//     not, with 95 % bands. Where the runs do not determine it, the error wraps
//     [ErrUndetermined] and names the run that would; no curve is guessed.
//     [Result.Determine] says the same in data.
//   - [Result.ForSearch] gives a search over combinations the learned parts like listed
//     ones, as they add and divide.
//   - [Result.Judge] compares a run after a change with what was expected, and where
//     they differ names what would explain it.
//   - [Result.Notes], [Result.Contradicts] and [Prediction.Notes] are sentences to print.
//
// [FitListed] does the same where the mechanism was measured and its parts are
// listed. [Result.Parts] holds the listed values beside the learned ones,
// [Result.Suspects] the parts that contradict the list; more than one means that the
// readings do not tell which.
//
// # What to ask for
//
// Twelve readings a run: two clearly below the start, two past all-in, eight between;
// rising, speed held, hose off. Equal pairs before mixed ones; for a spring with
// slack the mixed pair, never two of them. Five readings are the least for a second
// set of weights. Weights on the scale are worth a run.
//
// # Method
//
// A plain share is squared speed over the travelled part x with one number for its
// shape, the family of package balance; a slack one is small up to its take-up and
// then jumps to a plain one. All runs are one fit, with one travel for each stop, one
// static timing for each clamp position and one factor for each tachometer. The
// expected reading is the curve averaged over the tachometer's error; errors follow
// Student's law with four degrees of freedom. Plain or slack is decided by the
// evidence (Laplace's method: Kass and Raftery, Bayes factors, Journal of the American
// Statistical Association 90, 1995, pp. 773-795), with odds of one in twenty for a run
// whose springs all hang loose; where that is near, both stay in the bands. What was seen
// of a spring decides it: see [Settings]. The bands come from Markov chains with a fixed
// seed (see the code), so that the same runs always give the same result; static timing,
// travel and start are integrated over where an end was not seen. A band that begins at
// rest or ends at the stop leaves its 5 % out on the other side.
//
// # What it does not cover
//
// Runs with vacuum connected; a spring whose place changes between runs under one
// name; a snap, where squared speed falls with advance, shows as a steep curve.
// Friction that grows with squared speed or with the springs' force lies within the
// factors and shares; viscous friction is not covered.
//
// All angles are crank degrees and all speeds engine rpm.
//
// # Errors
//
// Errors wrap [valid.ErrRange], naming field, value with unit and valid range, or
// [ErrUndetermined].
package learned
