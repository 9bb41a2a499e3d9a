// Package recipes finds the best use of a drawer of parts: which springs, on
// which posts, with which weights, slot travel and static timing bring a
// distributor nearest to what the engine wants, without leaving what it
// tolerates.
//
// # The numbers a builder sets
//
//	reading = static + mechanical(rpm)      crank degrees BTDC, hose off
//	total   = static + travel
//
// The reading at idle is the static timing only if the advance has not begun
// there. Where it has, a light at idle shows more than the static timing, and
// closing the slot to keep the total takes away what nobody saw. [Limits]
// therefore asks for a start above idle, on the falling sweep too, unless told
// otherwise.
//
// # Method
//
// Moments of springs and weights add, so with one set of weights
//
//	omega^2(phi) = [sum of spring moments + drag ± friction] / moment of the weights
//
// is a sum of rows tabulated once for each part on a grid of swing positions; a
// combination costs one addition for each point. Positions where a spring is
// taken up are points of the grid, twice, so a tension that jumps stays a jump.
// The static timing is a shift and the slot a cut-off: both cost a few
// operations once the curve is known, and the best static timing is a closed
// form. The best candidates are then computed again on the exact curve of
// package flyweights and judged by the limits as they stand, so the table's
// straight lines decide nothing in the end.
//
// # Beyond the list
//
// [NewLadder] lists what each effort buys: turn the distributor only, springs, slot,
// both, everything. [Problem.Reconsider] says whether a recipe stands if a default or
// guess were otherwise. Where nothing fits, [Result] holds what comes nearest and the
// spring to buy. [Problem.Evaluate] judges a recipe that somebody names,
// [Problem.Judge] and [Recipe.MarginTo] hold one against other limits.
// [Problem.Tolerance] draws builds at random: the band of the spark, the probability
// of each limit, what matters most, which part is worth measuring.
//
// # Ranking
//
// By torque given up against MBT, averaged over its speeds, then by deviation from
// the band; the other way round on request or where there is no MBT; then by the
// number of parts changed, then by the order of the drawer. The order is total:
// the answer is the same for any number of workers.
//
// # Units
//
// Crank degrees and engine rpm; SI at the distributor shaft inside mechanism,
// springs and slot. Slot closing is in mm.
//
// # Errors
//
// Data that a caller can pass never panics. Functions return errors that wrap
// [valid.ErrRange] and name the field, the value with its unit and the valid range, or
// pass on the error of the package that owns the part; [ErrNoRecipe] says that
// nothing meets the limits.
//
// # Cautions
//
// A recipe is a calculation from measured parts. Too much spark breaks pistons:
// set the total with a light, listen under load, and go back at the first sign
// of knock. Timing is part of emission certification in many places; local law
// and licensed practice come first.
package recipes
