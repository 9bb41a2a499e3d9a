package quantity

import (
	"strings"
)

// Value is a number of one kind (mass, length, ...) in the coherent SI unit.
// It is used through its aliases [Mass], [Length] and so on:
//
//	m := quantity.Mass(0.0185)   // 18.5 g
//	kg := float64(m)
//
// It reads the text "18.5 g" and refuses anything else, a bare number above all. The
// zero value is zero of its kind.
type Value[K kind] float64

// kind is what tells a mass from a length: a type without data.
type kind interface{ about() about }

// about describes a kind.
type about struct {
	name   string
	dim    Dim
	metric string   // unit in which a metric workshop would read it, and the text form
	trade  string   // unit in which the other workshop would
	others []string // further units worth naming when none was given
	signed bool     // whether a negative value can be meant
}

// units lists the units worth naming, for messages.
func (a about) units() string {
	return strings.Join(append([]string{a.metric, a.trade}, a.others...), ", ")
}

// SI returns the value in the coherent SI unit of its kind.
func (v Value[K]) SI() float64 { return float64(v) }

// in returns the value in any unit of its kind, as in v.In("lbf/in").
func (v Value[K]) in(unit string) (float64, error) {
	var k K
	return Quantity{SI: float64(v), Dim: k.about().dim}.In(unit)
}

// UnmarshalText reads a number with a unit of the kind. It refuses a number
// without a unit and names the units it takes; errors wrap [errSyntax],
// [errUnit], [errShaft] or [valid.ErrRange]. On error the value is left as it was.
func (v *Value[K]) UnmarshalText(text []byte) error {
	if v == nil {
		return errNil
	}
	var k K
	x, err := k.about().read(string(text))
	if err == nil {
		*v = Value[K](x)
	}
	return err
}

// String returns the value in the metric workshop unit to four digits, "18.5 g".
func (v Value[K]) String() string {
	var k K
	a := k.about()
	return a.short(float64(v), a.metric)
}

// Both returns the value in both workshop units, "2.1 N/mm (12.0 lbf/in)", for
// a person who may have either tool: four digits of the first, three of the
// second.
func (v Value[K]) Both() string {
	var k K
	a := k.about()
	trade, err := v.in(a.trade)
	if err != nil {
		return v.String()
	}
	return v.String() + " (" + significant(trade, 3) + " " + a.trade + ")"
}

// read is the strict reader of one kind.
func (a about) read(text string) (float64, error) {
	number, unit, err := split(text)
	if err != nil {
		return 0, err
	}
	if unit == "" {
		return 0, refuse(errUnit, "%s has no unit; %s needs one of %s", quote(text), a.name, a.units())
	}
	q, err := assemble(text, number, unit)
	switch {
	case err != nil:
		return 0, err
	case q.Dim != a.dim:
		return 0, refuse(errUnit, "%s is %s; %s needs one of %s%s", quote(text), q.Dim.kind(), a.name, a.units(), a.poundHint(unit, q.Dim))
	case q.SI < 0 && !a.signed:
		return 0, refuse(errRange, "%s is negative; %s is 0 or more", quote(text), a.name)
	}
	return q.SI, nil
}

// poundHint speaks to the workshop's pound: a unit that would fit if its lb or
// kg were a force.
func (a about) poundHint(unit string, d Dim) string {
	withForce, ok := d.plus(Dim{Length: 1, Time: -2}, 1)
	if !ok || withForce != a.dim {
		return ""
	}
	for _, pound := range []string{"lb", "oz", "kg"} {
		if strings.HasPrefix(unit, pound) {
			return "; for a force write " + pound + "f"
		}
	}
	return ""
}

// short writes x in a unit to four digits.
func (a about) short(x float64, unit string) string {
	y, err := (Quantity{SI: x, Dim: a.dim}).In(unit)
	if err != nil {
		return "not a " + a.name
	}
	return trimmed(y, 4) + " " + unit
}
