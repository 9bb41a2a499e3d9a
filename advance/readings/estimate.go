package readings

import "fmt"

// Bound says which sides of an [Estimate] the readings know.
type Bound int

const (
	// Interval is the bound of a quantity known on both sides.
	Interval Bound = iota
	// AtMost is the bound of a quantity of which only the upper side is known.
	AtMost
	// AtLeast is the bound of a quantity of which only the lower side is known.
	AtLeast
	// Unknown is the bound of a quantity of which the readings say nothing.
	Unknown
)

// String returns the bound in words.
func (b Bound) String() string {
	switch b {
	case Interval:
		return "interval"
	case AtMost:
		return "at most"
	case AtLeast:
		return "at least"
	case Unknown:
		return "unknown"
	}
	return fmt.Sprintf("Bound(%d)", int(b))
}

// Estimate is a figure with its 95 % interval, or with a 95 % limit on one side where
// the readings do not show the other.
//
//   - [Interval]: Value is the best figure, Low to High its 95 % interval.
//   - [AtMost]: the quantity is at most Value by the fitted curve and, allowing
//     for the errors of the readings, at most High with 95 % confidence. There is no
//     lower end: Low is 0 and says nothing.
//   - [AtLeast]: likewise at least Value, and at least Low with 95 % confidence.
//     High is 0 and says nothing.
//   - [Unknown]: all three are 0 and say nothing.
type Estimate struct {
	Value, Low, High float64
	Bound            Bound
}

// Covers reports whether the estimate allows the value x.
func (e Estimate) Covers(x float64) bool {
	switch e.Bound {
	case Interval:
		return x >= e.Low && x <= e.High
	case AtMost:
		return x <= e.High
	case AtLeast:
		return x >= e.Low
	}
	return true
}

// Text returns the estimate as part of a sentence, with decimals and a unit.
func (e Estimate) Text(decimals int, unit string) string {
	switch e.Bound {
	case Interval:
		return fmt.Sprintf("%.*f %s (95 %% interval %.*f to %.*f)", decimals, e.Value, unit, decimals, e.Low, decimals, e.High)
	case AtMost:
		return fmt.Sprintf("at most %.*f %s (95 %% sure)", decimals, e.High, unit)
	case AtLeast:
		return fmt.Sprintf("at least %.*f %s (95 %% sure)", decimals, e.Low, unit)
	}
	return "not shown by these readings"
}
