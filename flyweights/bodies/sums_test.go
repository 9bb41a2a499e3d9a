package bodies

import "fmt"

// add returns both bodies held together. Inertias go to the common centre by
// parallel axes. Bodies so large that the sum overflows are refused.
func (b Body) add(c Body) (Body, error) {
	sum := b.with(c)
	return sum, checkFinite("sum of two bodies", "SI", sum.Mass, sum.Centre.X, sum.Centre.Y, sum.Inertia)
}

// sub returns the body with c taken out of it: a hole, or metal ground away. It
// refuses a part that leaves no mass or a negative inertia, as one does that
// was not inside.
func (b Body) sub(c Body) (Body, error) {
	if !(c.Mass < b.Mass) {
		return Body{}, outOfRange("mass taken away", c.Mass, "kg", fmt.Sprintf("less than the %.6g kg there are", b.Mass))
	}
	c.Mass, c.Inertia = -c.Mass, -c.Inertia
	left, err := b.add(c)
	if err != nil {
		return Body{}, err
	}
	if !(left.Inertia >= 0) {
		return Body{}, outOfRange("inertia left", left.Inertia, "kg m^2", "0 or more: the part taken away must lie inside")
	}
	return left, nil
}
