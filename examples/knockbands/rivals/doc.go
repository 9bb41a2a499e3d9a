// Package rivals draws spark-ignition engines of a physics that is not package knock's.
//
// An engine here burns in one zone by another burn law, is cooled by another wall law,
// filled and warmed by another law of speed, and its end gas follows another
// autoignition delay; one in five has a negative temperature coefficient, so that hotter gas ignites
// later. Nothing of package knock is asked, only the engine described in its words: the
// population is a jury for its bands.
//
// Levels are real ones: each engine asks, eight degrees late of its best torque at 2000
// rpm, for the octane that carburetted engines of its compression ratio are known to ask
// for, give or take. How the limit then goes with speed is its own affair.
//
// Published forms whose constants are drawn from the range of the literature say so; a
// constant marked "from memory" was not looked up.
package rivals
