// Package linkages holds further ways in which the weights of a spark-advance
// mechanism turn the cam: a four-bar, a slider-crank, cheeks that roll on the
// cam, and tables measured on the hardware: pairs of swing and turn, the path of a
// roller. Each is a
// flyweights.Linkage; that package has the ratio and the pin in a slot itself.
//
// A linkage is given where it stands at rest, in the plate frame about the shaft
// axis, in m. The swing phi of the weights is 0 there and rises; the turn theta
// of the cam rises with it. Errors wrap flyweights.ErrRange and name the field,
// the value with its unit and the valid range.
package linkages
