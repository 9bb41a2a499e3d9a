package quantity

import (
	"fmt"
	"strings"
)

// Dim is the dimension of a quantity: the powers of the base units kg, m, s, K,
// rad and mol. The zero value is the dimension of a plain number. Angle counts
// as a dimension here, so that a number of degrees is not taken for a number.
type Dim struct {
	Mass, Length, Time, Temperature, Angle, Amount int8
}

// maxPower bounds every power of a base unit in an expression.
const maxPower = 12

var baseUnits = [...]string{"kg", "m", "s", "K", "rad", "mol"}

func (d Dim) powers() [6]int {
	return [6]int{int(d.Mass), int(d.Length), int(d.Time), int(d.Temperature), int(d.Angle), int(d.Amount)}
}

// plus returns the dimension of a product of d and e to the power n, and false
// where a power leaves the range -12..12.
func (d Dim) plus(e Dim, n int) (Dim, bool) {
	a, b := d.powers(), e.powers()
	for i := range a {
		a[i] += n * b[i]
		if a[i] > maxPower || a[i] < -maxPower {
			return Dim{}, false
		}
	}
	return Dim{int8(a[0]), int8(a[1]), int8(a[2]), int8(a[3]), int8(a[4]), int8(a[5])}, true
}

// String returns the dimension as an expression in base units that [Parse]
// reads, "kg m^2 s^-2"; "1" for a plain number.
func (d Dim) String() string {
	var terms []string
	for i, p := range d.powers() {
		switch {
		case p == 1:
			terms = append(terms, baseUnits[i])
		case p != 0:
			terms = append(terms, fmt.Sprintf("%s^%d", baseUnits[i], p))
		}
	}
	if len(terms) == 0 {
		return "1"
	}
	return strings.Join(terms, " ")
}

// kind says what is measured in a dimension, "a length"; else the dimension itself.
func (d Dim) kind() string {
	for _, k := range []struct {
		dim  Dim
		name string
	}{
		{dimNumber, "a plain number"}, {dimMass, "a mass"}, {dimLength, "a length"}, {dimTime, "a time"}, {dimTemperature, "a temperature"},
		{dimAngle, "an angle"}, {dimAngularSpeed, "a speed of turning"}, {dimForce, "a force"}, {dimStiffness, "a spring rate"},
		{dimMoment, "a moment"}, {dimPressure, "a pressure"}, {Dim{Mass: 1, Length: -1}, "a mass over a length"},
	} {
		if d == k.dim {
			return k.name
		}
	}
	return "in " + d.String()
}

// Dimensions that the types of this package ask for.
var (
	dimNumber       = Dim{}
	dimMass         = Dim{Mass: 1}
	dimLength       = Dim{Length: 1}
	dimTime         = Dim{Time: 1}
	dimTemperature  = Dim{Temperature: 1}
	dimAngle        = Dim{Angle: 1}
	dimAngularSpeed = Dim{Angle: 1, Time: -1}
	dimForce        = Dim{Mass: 1, Length: 1, Time: -2}
	dimStiffness    = Dim{Mass: 1, Time: -2}
	dimMoment       = Dim{Mass: 1, Length: 2, Time: -2}  // also energy
	dimPressure     = Dim{Mass: 1, Length: -1, Time: -2} // also stress
)
