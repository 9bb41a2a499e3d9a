package quantity

import (
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Shaft says on which shaft an angle or a speed was measured.
type Shaft int

// The two shafts of this project. The zero value is not a shaft.
const (
	NoShaft     Shaft = iota
	Crank             // the crankshaft, where a timing light is pointed
	Distributor       // the distributor shaft
)

// String returns the word of the shaft in a quantity: "crank", "dist", or the
// empty string for none.
func (s Shaft) String() string {
	switch s {
	case Crank:
		return "crank"
	case Distributor:
		return "dist"
	}
	return ""
}

// Quantity is a value in SI with its dimension, and with the shaft where one
// was named. The zero value is the plain number 0.
type Quantity struct {
	SI    float64 // in the coherent SI unit of Dim, with rad for angles
	Dim   Dim
	Shaft Shaft // NoShaft, or the shaft of an angle or angular speed
}

// maxText is the longest text of a quantity, in bytes; smallest and largest
// bound its magnitude in SI.
const (
	maxText  = 100
	smallest = 1e-30
	largest  = 1e30
)

// Parse reads a number and its unit, as in "9.4 lbf/in", "8.5:1", "20 degC" or
// "12 deg crank", by the grammar of the package comment. A shaft may follow an
// angle or an angular speed and is kept. The value is the nearest float64 to
// the exact one, but for units with π (deg, rev, rpm), which cost one or two
// roundings more. It returns an error that wraps [errSyntax], [errUnit],
// [errShaft] or [valid.ErrRange].
func Parse(text string) (Quantity, error) {
	number, unit, err := split(text)
	if err != nil {
		return Quantity{}, err
	}
	if unit == "" {
		return Quantity{}, refuse(errUnit, "%s has no unit; a plain number is written with the unit 1", quote(text))
	}
	return assemble(text, number, unit)
}

// assemble makes a quantity of an exact number and the text of its unit.
func assemble(text string, number *big.Rat, unit string) (Quantity, error) {
	unit, shaft := shaftOf(unit)
	var q Quantity
	if z, ok := zeros[unit]; ok {
		x, _ := new(big.Rat).Mul(new(big.Rat).Add(number, z.zero), z.per).Float64()
		if x < 0 {
			return Quantity{}, refuse(errRange, "%s is below absolute zero", quote(text))
		}
		q = Quantity{SI: x, Dim: dimTemperature}
	} else {
		s, err := expression(table, unit)
		if err != nil {
			return Quantity{}, err
		}
		x, _ := new(big.Rat).Mul(number, s.ratio).Float64()
		q = Quantity{SI: x * math.Pow(math.Pi, float64(s.pi)), Dim: s.dim}
	}
	if a := math.Abs(q.SI); !(a <= largest) || (number.Sign() != 0 && a != 0 && a < smallest) {
		return Quantity{}, refuse(errRange, "%s is beyond any size of this trade, valid is %g to %g in SI or 0", quote(text), smallest, largest)
	}
	if shaft != NoShaft && q.Dim != dimAngle && q.Dim != dimAngularSpeed {
		return Quantity{}, refuse(errShaft, "%s names a shaft, but only an angle or a speed of rotation has one", quote(text))
	}
	q.Shaft = shaft
	return q, nil
}

// shaftOf takes the shaft's word off the end of a unit.
func shaftOf(unit string) (string, Shaft) {
	for _, s := range []Shaft{Crank, Distributor} {
		if before, ok := strings.CutSuffix(unit, " "+s.String()); ok {
			return strings.TrimRight(before, " "), s
		}
	}
	return unit, NoShaft
}

// split parts a text into its exact number and the text of the unit, which may
// be empty.
func split(text string) (*big.Rat, string, error) {
	if err := legible(text); err != nil {
		return nil, "", err
	}
	body := strings.Trim(text, " ")
	if how := mend(body); how != "" {
		return nil, "", refuse(errSyntax, "%s: %s", quote(text), how)
	}
	digits, unit := numeral(body)
	if digits == "" {
		return nil, "", refuse(errSyntax, "%s does not start with a number such as 18.5", quote(text))
	}
	if strings.HasPrefix(unit, ",") || strings.HasPrefix(unit, "_") {
		return nil, "", refuse(errSyntax, "%s: numbers are written without separators and with a decimal point, as 18.5", quote(text))
	}
	if f, err := strconv.ParseFloat(digits, 64); err != nil || math.Abs(f) > largest {
		return nil, "", refuse(errRange, "%s is beyond any size of this trade, valid is %g to %g in SI or 0", quote(text), smallest, largest)
	} else if math.Abs(f) < smallest*smallest && strings.ContainsAny(mantissa(digits), "123456789") {
		return nil, "", refuse(errRange, "%s is smaller than any size of this trade, valid is %g to %g in SI or 0", quote(text), smallest, largest)
	}
	number, ok := new(big.Rat).SetString(digits)
	if !ok {
		return nil, "", refuse(errSyntax, "%s does not start with a number such as 18.5", quote(text))
	}
	unit = strings.TrimLeft(unit, " ")
	if unit == ":1" {
		unit = "1" // a ratio, "8.5:1"
	}
	return number, unit, nil
}

// legible refuses a text that is too long, no UTF-8, or holds what cannot be printed.
func legible(text string) error {
	switch {
	case len(text) > maxText:
		return refuse(errSyntax, "%s is %d bytes long, valid is up to %d", quote(text), len(text), maxText)
	case !utf8.ValidString(text):
		return refuse(errSyntax, "%s is not valid UTF-8", quote(text))
	}
	for _, c := range text {
		if c < ' ' || c == utf8.RuneError || c == 0x7f {
			return refuse(errSyntax, "%s holds a character that cannot stand in a value", quote(text))
		}
	}
	return nil
}

// numeral parts a text after its leading decimal number; the number is empty
// where there is none.
func numeral(s string) (number, rest string) {
	from := signed(s, 0)
	end := digits(s, from)
	if end == from {
		return "", s
	}
	if end < len(s) && s[end] == '.' {
		fraction := digits(s, end+1)
		if fraction == end+1 {
			return "", s
		}
		end = fraction
	}
	if end < len(s) && (s[end] == 'e' || s[end] == 'E') {
		from := signed(s, end+1)
		if to := digits(s, from); to > from {
			end = to
		}
	}
	return s[:end], s[end:]
}

// signed returns the place after a sign that may stand at i.
func signed(s string, i int) int {
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	return i
}

// digits returns the place after the decimal digits that stand from i on.
func digits(s string, i int) int {
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	return i
}

// mantissa is the part of a number before its exponent.
func mantissa(number string) string {
	if i := strings.IndexAny(number, "eE"); i >= 0 {
		return number[:i]
	}
	return number
}

// In returns the value in the given unit, which may be any expression of the
// quantity's dimension, or degC or degF for a temperature. It refuses a unit of
// another dimension and a value that is not finite.
func (q Quantity) In(unit string) (float64, error) {
	if math.IsNaN(q.SI) || math.IsInf(q.SI, 0) {
		return 0, refuse(errRange, "value is %g %s, valid is a finite number", q.SI, q.Dim)
	}
	if z, ok := zeros[unit]; ok && q.Dim == dimTemperature {
		x := new(big.Rat).Quo(new(big.Rat).SetFloat64(q.SI), z.per)
		f, _ := x.Sub(x, z.zero).Float64()
		return f, nil
	}
	s, err := expression(table, unit)
	if err != nil {
		return 0, err
	}
	if s.dim != q.Dim {
		return 0, refuse(errUnit, "%s is a unit of %s, the value is in %s", quote(unit), s.dim, q.Dim)
	}
	f := q.SI / math.Pow(math.Pi, float64(s.pi))
	if !math.IsInf(f, 0) {
		x := new(big.Rat).SetFloat64(f)
		f, _ = x.Quo(x, s.ratio).Float64()
	}
	if math.IsInf(f, 0) {
		return 0, refuse(errRange, "value %g %s is too large to be written in %s", q.SI, q.Dim, quote(unit))
	}
	return f, nil
}

// String returns the value in base units with the digits that give it back
// exactly, "0.0185 kg"; with the shaft where there is one. [Parse] reads it.
func (q Quantity) String() string {
	s := strconv.FormatFloat(q.SI, 'g', -1, 64) + " " + q.Dim.String()
	if q.Shaft != NoShaft {
		s += " " + q.Shaft.String()
	}
	return s
}
