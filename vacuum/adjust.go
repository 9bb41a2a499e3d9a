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

// Adjustment is what to do to a unit, and the unit that results.
type Adjustment struct {
	Unit  Unit    // as adjusted
	Turns float64 // of the adjuster; positive tightens, so that the unit begins later
	Limit float64 // m of rod to which the limiter is set
	Full  float64 // Pa, vacuum of the full pull that follows; the spring's rate leaves no choice here
}

// Adjust returns limiter travel and turns of the adjuster for a wanted onset (Pa
// of vacuum, rising) and a wanted greatest advance (rad at the distributor
// shaft). The vacuum of the full pull follows from both and the spring's rate. It
// refuses an onset that asks for less than no preload, a maximum beyond the
// stroke or the arm, and more turns than the adjuster has.
func (u Unit) Adjust(onset, most float64, screw Adjuster) (Adjustment, error) {
	if err := u.Check(); err != nil {
		return Adjustment{}, err
	}
	err := check(
		within("wanted onset", onset, "Pa", 0, MostVacuum),
		size("pitch of the adjuster", screw.Pitch, "m per turn", 0.1),
		upTo("turns out", screw.Out, "turns", 1e9),
		upTo("turns in", screw.In, "turns", 1e9),
	)
	if err != nil {
		return Adjustment{}, err
	}
	set, err := u.Limited(most)
	if err != nil {
		return Adjustment{}, err
	}
	set.Preload = onset*u.Area - u.Friction
	if set.Preload < 0 {
		return Adjustment{}, refuse("wanted onset", onset, "Pa", fmt.Sprintf("%.6g Pa or more, what friction alone asks for", u.Friction/u.Area))
	}
	turns := (set.Preload - u.Preload) / (u.Rate * screw.Pitch)
	if err := check(within("turns of the adjuster", turns, "turns", -screw.Out, screw.In)); err != nil {
		return Adjustment{}, err
	}
	return Adjustment{Unit: set, Turns: turns, Limit: set.Travel, Full: set.Full()}, nil
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
