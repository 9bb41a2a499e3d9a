package flyweights

import (
	"fmt"

	"example.org/bobweight/flyweights/internal/plane"
	"example.org/bobweight/springs/valid"
)

// Slot is the slot that ends the cam's travel: a pin or bushing moves in an arc
// about the shaft axis.
type Slot struct {
	Length float64 // m, > Pin: arc end to end along the centre line
	Pin    float64 // m, > 0: diameter of the pin or bushing
	Radius float64 // m, > 0: of the centre line about the shaft axis
}

// check refuses a slot without travel and one longer than its circle.
func (s Slot) check() error {
	if err := valid.Check(errRange, valid.Above("slot pin diameter", s.Pin*1e3, "mm", 0, 1e3*plane.MaxLength), valid.Above("slot radius", s.Radius*1e3, "mm", 0, 1e3*plane.MaxLength)); err != nil {
		return err
	}
	if !(s.Length >= s.Pin && s.Length-s.Pin <= s.Radius*plane.FullSwing) {
		return plane.Refuse("slot length", s.Length*1e3, "mm", fmt.Sprintf("%.6g mm, the pin, to half a turn of travel", s.Pin*1e3))
	}
	return nil
}

// Travel returns the turn of the cam in rad that the slot lets through,
// (Length - Pin)/Radius: the rounded ends have the pin's radius, so it moves by
// the length less its own diameter. A slot without travel, or with half a turn of it or more, is refused.
func (s Slot) Travel() (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	return (s.Length - s.Pin) / s.Radius, nil
}

// Closing returns by how much of its length in m the slot must be closed to let
// through a travel in rad of the cam; a negative answer must be filed away. A
// thicker bushing closes by the growth of its diameter. The travel must be
// from 0 to less than half a turn.
func (s Slot) Closing(travel float64) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if !(travel >= 0 && travel <= plane.FullSwing) {
		return 0, plane.Refuse("travel", travel, "rad", "0 to less than half a turn")
	}
	return s.Length - s.Pin - travel*s.Radius, nil
}
