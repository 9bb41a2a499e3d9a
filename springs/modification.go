package springs

import "example.org/bobweight/springs/valid"

// What a bench does to a spring, as a change of its law. A spring whose make is
// known is changed in its design.Part, which gives the new law.

// CutCoils returns the law after so many turns have been cut off a spring with
// active turns of wire of a diameter in m, the loop formed anew as it was: the
// rate rises as active/(active - turns), and the free length falls by one wire
// a turn.
func (s Spring) CutCoils(active, turns, diameter float64) (Spring, error) {
	if err := s.Check(); err != nil {
		return Spring{}, err
	}
	if err := valid.Check(errRange,
		valid.Above("active coils", active, "coils", 0, 1e4),
		valid.In("turns cut off", turns, "coils", 0, active*(1-1e-9)),
		valid.Above("wire diameter", diameter, "m", 0, s.FreeLength),
	); err != nil {
		return Spring{}, err
	}
	s.Rate *= active / (active - turns)
	s.FreeLength -= turns * diameter
	return s, s.Check()
}
