package bodies

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
)

// Body is a rigid plane body: its mass, centre of mass and inertia. The zero
// value is no body, the neutral element of [Body.add].
type Body struct {
	Mass    float64 // kg
	Centre  r2.Vec  // m, centre of mass
	Inertia float64 // kg m^2 about the axis through the centre, normal to the plane
}

// Plate returns the body cut from sheet of a thickness in m and a density in
// kg/m^3 along an outline, less its holes. Thickness and density must be
// positive and finite. An outline that crosses itself is refused, as are holes
// that do not lie inside it and apart; arcs are followed there by chords of a
// 96th of a turn, so that a wall thinner than 0.05 % of an arc's radius may pass
// unnoticed either way.
func Plate(outline Outline, thickness, density float64, holes ...Outline) (Body, error) {
	if err := checkPositive("thickness", thickness, "m", maxLength); err != nil {
		return Body{}, err
	}
	if err := checkPositive("density", density, "kg/m^3", maxDensity); err != nil {
		return Body{}, err
	}
	s, err := outline.Section()
	if err != nil {
		return Body{}, err
	}
	for i, hole := range holes {
		h, err := hole.Section()
		if err != nil {
			return Body{}, fmt.Errorf("hole %d: %w", i+1, err)
		}
		if s, err = s.Sub(h); err != nil {
			return Body{}, fmt.Errorf("hole %d: %w", i+1, err)
		}
	}
	if err := checkHoles(outline, holes); err != nil {
		return Body{}, err
	}
	b := s.body(thickness * density)
	return b, b.check()
}

// body returns the figure as a plate of a mass per area in kg/m^2.
func (s Section) body(massPerArea float64) Body {
	return Body{Mass: massPerArea * s.Area, Centre: s.Centroid, Inertia: massPerArea * s.polar()}
}

// check refuses a mass that is not positive, a centre not within 1000 m of the
// axis and an inertia that is negative or not finite.
func (b Body) check() error {
	if err := checkPositive("mass", b.Mass, "kg", maxMass); err != nil {
		return err
	}
	if err := checkPoint("centre of mass", b.Centre); err != nil {
		return err
	}
	if most := b.Mass * maxLength * maxLength; !(b.Inertia >= 0 && b.Inertia <= most) {
		return outOfRange("inertia", b.Inertia, "kg m^2", fmt.Sprintf("0 to %.6g kg m^2", most))
	}
	return nil
}

func (b Body) with(c Body) Body {
	mass := b.Mass + c.Mass
	if mass == 0 {
		return Body{}
	}
	d := r2.Sub(c.Centre, b.Centre)
	return Body{
		Mass:    mass,
		Centre:  r2.Add(b.Centre, r2.Scale(c.Mass/mass, d)),
		Inertia: b.Inertia + c.Inertia + b.Mass*(c.Mass/mass)*r2.Norm2(d),
	}
}

// About returns the inertia in kg m^2 about the axis through a point, normal to
// the plane: Inertia + m d^2 (parallel axes).
func (b Body) About(p r2.Vec) (float64, error) {
	i := b.Inertia + b.Mass*r2.Norm2(r2.Sub(b.Centre, p))
	return i, checkFinite("inertia about the point", "kg m^2", i)
}
