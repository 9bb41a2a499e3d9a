package corpus

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
)

// value is one given: a quantity, or a word where it is not empty.
type value struct {
	quantity quantity.Quantity
	word     string
}

// UnmarshalText reads a quantity where the text starts with a digit or a sign,
// and a word otherwise.
func (v *value) UnmarshalText(text []byte) error {
	s := string(text)
	if s == "" || s != strings.TrimSpace(s) {
		return fmt.Errorf("%q is neither a quantity nor a word", s)
	}
	if !strings.ContainsRune("0123456789+-.", rune(s[0])) {
		*v = value{word: s}
		return nil
	}
	q, err := quantity.Parse(s)
	*v = value{quantity: q}
	return err
}

// Given is the data of a case, by name. A calculation takes values out of it;
// a name that is missing or of another kind is noted and the zero value is
// returned, so that a calculation reads straight through. The harness reports
// the first such note, and every name that was never asked for.
type Given struct {
	values map[string]value
	lists  map[string][]value
	groups map[string][]map[string]value
	asked  map[string]bool
	parts  []*Given // groups handed out
	err    error
}

func (g *Given) fail(format string, args ...any) {
	if g.err == nil {
		g.err = fmt.Errorf(format, args...)
	}
}

// ask notes that a name was asked for.
func (g *Given) ask(name string) {
	if g.asked == nil {
		g.asked = map[string]bool{}
	}
	g.asked[name] = true
}

func (g *Given) take(name string) (value, bool) {
	g.ask(name)
	v, ok := g.values[name]
	if !ok {
		g.fail("given %q is missing", name)
	}
	return v, ok
}

// Has reports whether the case gives a value, list or group of this name.
func (g *Given) Has(name string) bool {
	g.ask(name)
	_, v := g.values[name]
	_, l := g.lists[name]
	_, p := g.groups[name]
	return v || l || p
}

// SI returns a quantity of a dimension in SI. A quantity on a named shaft is
// refused: take it with CrankDegrees or CrankRPM.
func (g *Given) SI(name string, d quantity.Dim) float64 {
	if v, ok := g.take(name); ok {
		return g.si(name, v, d)
	}
	return 0
}

func (g *Given) si(name string, v value, d quantity.Dim) float64 {
	switch {
	case v.word != "":
		g.fail("given %q is a word, wanted is a quantity", name)
	case v.quantity.Dim != d:
		g.fail("given %q is in %s, wanted is %s", name, v.quantity.Dim, d)
	case v.quantity.Shaft != quantity.NoShaft:
		g.fail("given %q names a shaft, wanted is none", name)
	default:
		return v.quantity.SI
	}
	return 0
}

// SIOr is SI with a value to use where the case does not give one.
func (g *Given) SIOr(name string, d quantity.Dim, otherwise float64) float64 {
	if !g.Has(name) {
		return otherwise
	}
	return g.SI(name, d)
}

// Number returns a plain number.
func (g *Given) Number(name string) float64 { return g.SI(name, dimNumber) }

// Whole returns a plain number that is whole, for counts.
func (g *Given) Whole(name string) int {
	x := g.Number(name)
	if x != math.Trunc(x) || math.Abs(x) > 1e9 {
		g.fail("given %q is %g, wanted is a whole number", name, x)
		return 0
	}
	return int(x)
}

// Any returns a quantity of whatever dimension and shaft.
func (g *Given) Any(name string) quantity.Quantity {
	v, ok := g.take(name)
	if ok && v.word != "" {
		g.fail("given %q is a word, wanted is a quantity", name)
	}
	return v.quantity
}

// CrankDegrees returns an angle given on a named shaft in crank degrees.
func (g *Given) CrankDegrees(name string, d advance.Drive) float64 {
	q := g.Any(name)
	if q.Dim != dimAngle {
		g.fail("given %q is in %s, wanted is an angle", name, q.Dim)
		return 0
	}
	deg, err := quantity.Angle{Value: advance.CrankSpeed.CrankDegrees(q.SI), Shaft: q.Shaft}.Crank(d)
	if err != nil {
		g.fail("given %q: %w", name, err)
	}
	return deg
}

// CrankRPM returns a speed given on a named shaft in crank rpm.
func (g *Given) CrankRPM(name string, d advance.Drive) float64 {
	q := g.Any(name)
	if q.Dim != dimAngularSpeed {
		g.fail("given %q is in %s, wanted is a speed of rotation", name, q.Dim)
		return 0
	}
	rpm, err := quantity.Speed{Value: advance.CrankSpeed.RPM(q.SI), Shaft: q.Shaft}.Crank(d)
	if err != nil {
		g.fail("given %q: %w", name, err)
	}
	return rpm
}

// Word returns a word, which must be one of the choices if any are named.
func (g *Given) Word(name string, choices ...string) string {
	v, ok := g.take(name)
	switch {
	case !ok:
	case v.word == "":
		g.fail("given %q is a quantity, wanted is a word", name)
	case len(choices) > 0 && !slices.Contains(choices, v.word):
		g.fail("given %q is %q, wanted is one of %s", name, v.word, strings.Join(choices, ", "))
	}
	return v.word
}

// WordOr is Word with a word to use where the case does not give one.
func (g *Given) WordOr(name, otherwise string, choices ...string) string {
	if !g.Has(name) {
		return otherwise
	}
	return g.Word(name, choices...)
}

// List returns a list of quantities of one dimension in SI.
func (g *Given) List(name string, d quantity.Dim) []float64 {
	g.ask(name)
	l, ok := g.lists[name]
	if !ok {
		g.fail("list %q is missing", name)
	}
	out := make([]float64, len(l))
	for i, v := range l {
		out[i] = g.si(fmt.Sprintf("%s[%d]", name, i), v, d)
	}
	return out
}

// Groups returns a list of named groups, each to be read like a Given.
func (g *Given) Groups(name string) []*Given {
	g.ask(name)
	l, ok := g.groups[name]
	if !ok {
		g.fail("groups %q are missing", name)
	}
	out := make([]*Given, len(l))
	for i, values := range l {
		out[i] = &Given{values: values}
	}
	g.parts = append(g.parts, out...)
	return out
}

// Points returns the groups of a name as points x, y of one dimension in SI.
func (g *Given) Points(name string, d quantity.Dim) [][2]float64 {
	var out [][2]float64
	for _, p := range g.Groups(name) {
		out = append(out, [2]float64{p.SI("x", d), p.SI("y", d)})
	}
	return out
}

// problem returns the first note of g and its groups, or names a given that
// nobody asked for.
func (g *Given) problem() error {
	if g.err != nil {
		return g.err
	}
	names := slices.Concat(slices.Sorted(maps.Keys(g.values)), slices.Sorted(maps.Keys(g.lists)), slices.Sorted(maps.Keys(g.groups)))
	for i, name := range names {
		if !g.asked[name] {
			return fmt.Errorf("given %q is not used by the calculation", name)
		}
		if slices.Contains(names[:i], name) {
			return fmt.Errorf("given %q stands in two sections", name)
		}
	}
	for _, p := range g.parts {
		if err := p.problem(); err != nil {
			return err
		}
	}
	return nil
}
