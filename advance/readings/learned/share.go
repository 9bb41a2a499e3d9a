package learned

import "math"

// shape is what one kind of spring at a place adds to the squared engine speed of
// balance, over the travelled part x of the reference travel.
//
//	plain   rest + span I(x; bend)
//	slack   rest                                          below the take-up t
//	        rest + jump + span I((x-t)/(1-t); bend)       above
//
// I is the integral of exp(bend z), z = 2x-1, scaled to run from 0 to 1. A bend
// above 0 lays the middle below the chord, as a pin in a slot does; one below 0
// lays it above, as meshing teeth do.
type shape struct {
	rest, span, bend float64 // rpm^2, rpm^2, 1
	slack            bool
	takeUp, jump     float64 // part of the travel, rpm^2
}

// bent is I(x; bend). Beyond x = 1 it is continued.
func bent(x, bend float64) float64 {
	if math.Abs(bend) < 1e-3 {
		return x * (1 + bend*(x-1))
	}
	return (math.Exp(2*bend*x) - 1) / (math.Exp(2*bend) - 1)
}

// at is the squared speed at x; above says on which side of a jump.
func (s *shape) at(x float64, above bool) float64 {
	if !s.slack {
		return s.rest + s.span*bent(x, s.bend)
	}
	if x < s.takeUp || x == s.takeUp && !above {
		return s.rest
	}
	return s.rest + s.jump + s.span*bent((x-s.takeUp)/(1-s.takeUp), s.bend)
}
