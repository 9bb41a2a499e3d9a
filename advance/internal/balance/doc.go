// Package balance is the family of advance curves that the moment balance of
// weights and springs gives, with one number for the shape.
//
// At the travelled part x of the advance, 0 at rest and 1 at the stop, the moment
// of the springs and that of the weights are equal at one squared speed, so that
// squared speed is a function of angle:
//
//	n²(x) = n0² + D I(x; alpha),   I = ∫ exp(alpha z) dz from -1 to 2x-1, over that from -1 to 1.
//
// I rises from 0 to 1 for every alpha. alpha is 0 for a straight line of squared
// speed over angle, more than 0 where the curve stiffens towards the stop, less
// than 0 where it softens. Curves computed from linkages of flyweights lie between
// -1.1 and 1.5: rolling cams below 0, a pin on the weight in a slot of the cam above.
// A prior with mean 0 and standard deviation 0.8 serves both.
//
// # A second spring
//
// A spring in a long loop takes part only from its take-up at x = t on. There its
// initial tension holds the advance while squared speed rises by the hold, and its
// rate multiplies the slope of squared speed over angle by the stiffening. One shape
// serves both stages: the curves of 200 mechanisms drawn at random, half of them with a
// second spring, lie within half a degree of the family but for one (examples/coverage).
//
// Speeds are in rpm of any one shaft. A number that is not a number is taken as 0,
// so that every result is finite.
package balance
