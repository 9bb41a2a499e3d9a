package quantity

import (
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// expression reads a unit expression by the grammar of the package comment.
func expression(t map[string]scale, text string) (scale, error) {
	r := reader{table: t, all: text, rest: text}
	s, err := r.unit(0)
	if err != nil {
		return scale{}, err
	}
	if r.skip(); r.rest != "" {
		return scale{}, refuse(errSyntax, "%s cannot stand at this place of unit %s", quote(r.rest), quote(text))
	}
	return s, nil
}

// reader walks once through the text of a unit.
type reader struct {
	table map[string]scale
	all   string
	rest  string
}

// maxDepth bounds the nesting of parentheses.
const maxDepth = 8

func (r *reader) skip() { r.rest = strings.TrimLeft(r.rest, " ") }

// take drops p from the front of the rest and reports whether it was there.
func (r *reader) take(p string) bool {
	if !strings.HasPrefix(r.rest, p) {
		return false
	}
	r.rest = r.rest[len(p):]
	return true
}

// unit reads "product [ / factor ]".
func (r *reader) unit(depth int) (scale, error) {
	if depth > maxDepth {
		return scale{}, refuse(errSyntax, "parentheses of unit %s nest deeper than %d", quote(r.all), maxDepth)
	}
	s, err := r.factor(depth)
	for err == nil {
		r.skip()
		switch {
		case r.rest == "" || r.rest[0] == ')':
			return s, nil
		case r.take("/"):
			return r.quotient(s, depth)
		case r.take("*"), r.take("·"):
		}
		var f scale
		if f, err = r.factor(depth); err == nil {
			s, err = r.times(s, f, 1)
		}
	}
	return scale{}, err
}

// quotient reads the one factor after the solidus and refuses more behind it:
// "J/kg K" and "m/s/s" are read differently by different people.
func (r *reader) quotient(s scale, depth int) (scale, error) {
	f, err := r.factor(depth)
	if err != nil {
		return scale{}, err
	}
	if r.skip(); r.rest != "" && r.rest[0] != ')' {
		return scale{}, refuse(errSyntax, "unit %s is ambiguous after the solidus: put what is below it in parentheses, as in J/(kg K)", quote(r.all))
	}
	return r.times(s, f, -1)
}

// factor reads a symbol or a parenthesis, with its power.
func (r *reader) factor(depth int) (scale, error) {
	r.skip()
	var s scale
	if r.take("(") {
		var err error
		if s, err = r.unit(depth + 1); err != nil {
			return scale{}, err
		}
		if r.skip(); !r.take(")") {
			return scale{}, refuse(errSyntax, "a parenthesis of unit %s is not closed", quote(r.all))
		}
	} else {
		var err error
		if s, err = r.symbol(); err != nil {
			return scale{}, err
		}
	}
	n, err := r.power()
	if err != nil || n == 1 {
		return s, err
	}
	return r.times(scale{rational("1"), 0, Dim{}}, s, n)
}

func (r *reader) symbol() (scale, error) {
	n := 0
	for n < len(r.rest) {
		c, size := utf8.DecodeRuneInString(r.rest[n:])
		digit := c >= '0' && c <= '9' && (n > 0 || c == '1') // H2O inside a symbol; "1" itself
		if !(c == '%' || c == 'µ' || digit || unicode.IsLetter(c)) {
			break
		}
		n += size
	}
	name := r.rest[:n]
	if n == 0 {
		if r.rest == "" {
			return scale{}, refuse(errSyntax, "unit %s ends where a unit symbol is wanted", quote(r.all))
		}
		return scale{}, refuse(errSyntax, "unit %s has %s where a unit symbol is wanted", quote(r.all), quote(r.rest))
	}
	r.rest = r.rest[n:]
	if s, ok := r.table[name]; ok {
		return scale{new(big.Rat).Set(s.ratio), s.pi, s.dim}, nil
	}
	if _, ok := zeros[name]; ok {
		return scale{}, refuse(errUnit, "%s has a zero point of its own and stands alone, not in %s; for a temperature difference write K", name, quote(r.all))
	}
	return scale{}, refuse(errUnit, "unit symbol %s is not known%s", quote(name), hint(name))
}

// power reads "^n", "²" or "³"; 1 where there is none.
func (r *reader) power() (int, error) {
	switch {
	case r.take("²"):
		return 2, nil
	case r.take("³"):
		return 3, nil
	case !r.take("^"):
		return 1, nil
	}
	sign := 1
	if r.take("-") {
		sign = -1
	}
	if r.rest == "" || r.rest[0] < '1' || r.rest[0] > '9' {
		return 0, refuse(errSyntax, "the power in unit %s is not a whole number of 1 to %d", quote(r.all), maxPower)
	}
	n := 0
	for r.rest != "" && r.rest[0] >= '0' && r.rest[0] <= '9' {
		if n = 10*n + int(r.rest[0]-'0'); n > maxPower {
			return 0, refuse(errSyntax, "the power in unit %s is not a whole number of 1 to %d", quote(r.all), maxPower)
		}
		r.rest = r.rest[1:]
	}
	return sign * n, nil
}

// times returns a·b^n.
func (r *reader) times(a, b scale, n int) (scale, error) {
	d, ok := a.dim.plus(b.dim, n)
	pi := a.pi + n*b.pi
	if !ok || pi > maxPower || pi < -maxPower {
		return scale{}, refuse(errUnit, "unit %s holds a power above %d", quote(r.all), maxPower)
	}
	ratio := new(big.Rat).Set(a.ratio)
	for range max(n, -n) {
		if n > 0 {
			ratio.Mul(ratio, b.ratio)
		} else {
			ratio.Quo(ratio, b.ratio)
		}
	}
	return scale{ratio, pi, d}, nil
}
