package vacuum

import (
	"fmt"
	"math"
)

// Adjuster is a screw that moves the fixed end of the unit's spring, of whatever
// make: so much per turn, so many turns.
type Adjuster struct {
	Pitch float64 // m of spring end per turn that tightens, > 0
	Out   float64 // turns that it can still be slackened, >= 0
	In    float64 // turns that it can still be tightened, >= 0
}

// Adjust returns the unit with a wanted onset (Pa of vacuum, rising) and a wanted
// greatest advance (rad at the distributor shaft), and the turns of the adjuster that
// it takes; positive tightens, so that the unit begins later. The limiter is then set to
// Travel, and the vacuum of the full pull follows from the spring's rate. It
// refuses an onset that asks for less than no preload, a maximum beyond the
// stroke or the arm, and more turns than the adjuster has.
func (u Unit) Adjust(onset, most float64, screw Adjuster) (set Unit, turns float64, err error) {
	if err := u.Check(); err != nil {
		return Unit{}, 0, err
	}
	err = check(
		within("wanted onset", onset, "Pa", 0, MostVacuum),
		size("pitch of the adjuster", screw.Pitch, "m per turn", 0.1),
		upTo("turns out", screw.Out, "turns", 1e9),
		upTo("turns in", screw.In, "turns", 1e9),
	)
	if err != nil {
		return Unit{}, 0, err
	}
	if set, err = u.Limited(most); err != nil {
		return Unit{}, 0, err
	}
	set.Preload = onset*u.Area - u.Friction
	if set.Preload < 0 {
		return Unit{}, 0, refuse("wanted onset", onset, "Pa", fmt.Sprintf("%.6g Pa or more, what friction alone asks for", u.Friction/u.Area))
	}
	turns = (set.Preload - u.Preload) / (u.Rate * screw.Pitch)
	if err := check(within("turns of the adjuster", turns, "turns", -screw.Out, screw.In)); err != nil {
		return Unit{}, 0, err
	}
	return set, turns, nil
}

// Limited returns the unit with its limiter set so that it gives at most the
// advance most (rad at the distributor shaft, more than 0). It refuses a limiter
// beyond the stroke or the arm's dead centre.
func (u Unit) Limited(most float64) (Unit, error) {
	if err := u.Check(); err != nil {
		return Unit{}, err
	}
	if !(most > 0 && u.ArmAngle+most < math.Pi/2) {
		return Unit{}, refuse("greatest advance", most, "rad", "more than 0, with the arm short of its dead centre")
	}
	u.Travel = u.pull(most)
	if math.IsNaN(u.Travel) {
		return Unit{}, refuse("greatest advance", most, "rad", "within reach of the rod")
	}
	if err := u.Check(); err != nil {
		return Unit{}, err
	}
	return u, nil
}
