package springs

// What a bench does to a spring, as a change of its law. Springs of which only
// the law is known (measured ones) are changed by methods of [Spring]; springs
// whose make is known are changed in their [Part], after which [Part.Spring]
// gives the new law.

// CutCoils returns the part with so many turns cut off its body and the loop
// formed anew: stiffer, shorter, its initial tension unchanged, since that sits
// in the torsion of every turn. Turns are 0 or more and leave some.
func (p Part) CutCoils(turns float64) (Part, error) {
	if err := p.Check(); err != nil {
		return Part{}, err
	}
	if err := check(bound{"turns cut off", turns, "coils", 0, p.BodyCoils * (1 - 1e-9), false}); err != nil {
		return Part{}, err
	}
	p.BodyCoils -= turns
	return p, nil
}

// CutCoils returns the law after so many turns have been cut off a spring with
// active turns of wire of a diameter in m, the loop formed anew as it was: the
// rate rises as active/(active - turns), and the free length falls by one wire
// a turn.
func (s Spring) CutCoils(active, turns, diameter float64) (Spring, error) {
	if err := s.Check(); err != nil {
		return Spring{}, err
	}
	if err := check(
		bound{"active coils", active, "coils", 0, 1e4, true},
		bound{"turns cut off", turns, "coils", 0, active * (1 - 1e-9), false},
		bound{"wire diameter", diameter, "m", 0, s.FreeLength, true},
	); err != nil {
		return Spring{}, err
	}
	s.Rate *= active / (active - turns)
	s.FreeLength -= turns * diameter
	return s, s.Check()
}

// BendLoop returns the law after a loop has been opened (longer positive) or
// closed by so many m between its inside and the body: the free length moves
// with it, rate and initial tension do not.
func (s Spring) BendLoop(longer float64) (Spring, error) {
	if err := s.Check(); err != nil {
		return Spring{}, err
	}
	if err := check(bound{"loop bent longer by", longer, "m", -maxLength, maxLength, false}); err != nil {
		return Spring{}, err
	}
	s.FreeLength += longer
	return s, s.Check()
}

// Slotted returns the law after the play of a loop on its post has been changed
// by so many m: more play delays the pull, less advances it.
func (s Spring) Slotted(more float64) (Spring, error) {
	if err := s.Check(); err != nil {
		return Spring{}, err
	}
	if err := check(bound{"more play", more, "m", -maxLength, maxLength, false}); err != nil {
		return Spring{}, err
	}
	s.Slack += more
	return s, s.Check()
}

// MovePost returns how far in m one post must move away from the other, negative
// towards it, for a spring that now has a length in m to pull with a wanted
// tension in N above its initial tension. Across the line between the posts a
// move of x does next to nothing, x^2/(2 length).
func (s Spring) MovePost(length, wanted float64) (float64, error) {
	if _, err := s.Load(length); err != nil {
		return 0, err
	}
	if err := check(bound{"wanted tension", wanted, "N", s.InitialTension, maxForce, true}); err != nil {
		return 0, err
	}
	to, err := s.Length(wanted)
	return to - length, err
}

// Warmed returns the law of a spring of a material measured at 20 degrees
// Celsius, at a temperature in K from 200 to 450: rate and initial tension fall
// with the modulus ([Material]).
func (s Spring) Warmed(m Material, temperature float64) (Spring, error) {
	if err := s.Check(); err != nil {
		return Spring{}, err
	}
	if err := m.Check(); err != nil {
		return Spring{}, err
	}
	if err := check(bound{"temperature", temperature, "K", 200, 450, false}); err != nil {
		return Spring{}, err
	}
	f := 1 - m.StiffnessDrop*(temperature-roomTemperature)
	s.Rate *= f
	s.InitialTension *= f
	return s, nil
}
