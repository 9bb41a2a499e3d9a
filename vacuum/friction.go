package vacuum

import "math"

// Way is the way the rod moves; it decides which way friction acts.
type Way int

const (
	Pulling   Way = 1  // the vacuum rises and pulls the rod; friction acts against it
	Releasing Way = -1 // the vacuum falls and the spring takes the rod back; friction holds it
)

// String returns "pulling" or "releasing".
func (w Way) String() string {
	if w == Releasing {
		return "releasing"
	}
	return "pulling"
}

// Follow returns the rod's travel in m after the vacuum (Pa) has come to a new
// value, from a travel x in m: dry friction leaves the rod where it is as long
// as its position lies between the pulling and the releasing line (the play of
// Coulomb friction), else the nearer line takes it along. A history of turning
// points is followed by calling it once for each of them. Refused: a unit that
// does not pass [Unit.Check], x outside rest to limiter, a vacuum outside 0 to
// [MostVacuum].
func (u Unit) Follow(x, vacuum float64) (float64, error) {
	if err := u.Check(); err != nil {
		return 0, err
	}
	if err := check(within("rod travel", x, "m", 0, u.Travel), within("vacuum", vacuum, "Pa", 0, MostVacuum)); err != nil {
		return 0, err
	}
	return math.Max(u.rod(vacuum, Pulling), math.Min(u.rod(vacuum, Releasing), x)), nil
}

// Band returns the vacuum in Pa that lies between the pulling and the releasing
// line at the same position: 2 Friction / Area, the width of the loop on a
// hand-pump diagram.
func (u Unit) Band() float64 { return u.Vacuum(0, Pulling) - u.Vacuum(0, Releasing) }

// Stuck returns the advance in rad at the distributor shaft that remains after a
// full pull when the vacuum is gone: 0 while the preload overcomes the friction.
func (u Unit) Stuck() float64 {
	if u.Check() != nil {
		return 0
	}
	return u.angle(u.rod(0, Releasing))
}
