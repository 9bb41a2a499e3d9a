package vacuum

import "math"

// direction is the way the rod moves; it decides which way friction acts.
type direction int

const (
	pulling   direction = 1  // the vacuum rises and pulls the rod; friction acts against it
	releasing direction = -1 // the vacuum falls and the spring takes the rod back; friction holds it
)

// follow is the rod's travel in m after the vacuum (Pa) has come to a new value,
// from a travel x in m: dry friction leaves the rod where it is as long
// as its position lies between the pulling and the releasing line (the play of
// Coulomb friction), else the nearer line takes it along. A history of turning
// points is followed by calling it once for each of them.
func (u Unit) follow(x, vacuum float64) float64 {
	return math.Max(u.rod(vacuum, pulling), math.Min(u.rod(vacuum, releasing), x))
}

// Stuck returns the advance in rad at the distributor shaft that remains after a
// full pull when the vacuum is gone: 0 while the preload overcomes the friction.
func (u Unit) Stuck() float64 {
	if u.Check() != nil {
		return 0
	}
	return u.angle(u.rod(0, releasing))
}
