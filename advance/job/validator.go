package job

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/strict"
)

// ErrJob is wrapped by every error that a job file, or what belongs to it,
// causes. The message names the line and the field.
var ErrJob = errors.New("job")

// validator checks what the fields of a file mean and keeps the first complaint, so
// that the building code reads as a list of fields.
type validator struct {
	lines strict.Lines
	drive advance.Drive
	err   error
}

// given reports whether the field stands in the file.
func (r *validator) given(path string) bool { _, ok := r.lines[path]; return ok }

// fail keeps the first complaint about a field.
func (r *validator) fail(path, format string, args ...any) {
	if r.err == nil {
		r.err = fmt.Errorf("%w: line %d: %s: %s", ErrJob, r.lines.Of(path), path, fmt.Sprintf(format, args...))
	}
}

// wrap keeps what another package says about the parts that a field describes.
func (r *validator) wrap(path string, err error) {
	if r.err == nil && err != nil {
		r.err = fmt.Errorf("%w: line %d: %s: %w", ErrJob, r.lines.Of(path), path, err)
	}
}

// value is any quantity that knows its SI value and how to print itself.
type value interface {
	SI() float64
	String() string
}

// between returns v in SI after checking that it stands in the file and lies in
// its range, both ends included.
func between[T value](r *validator, path string, v, lo, hi T) float64 {
	if !r.given(path) {
		r.fail(path, "is missing; valid is %s to %s", show(lo), show(hi))
	} else if x := v.SI(); !(x >= lo.SI() && x <= hi.SI()) {
		r.fail(path, "is %s, valid is %s to %s", show(v), show(lo), show(hi))
	}
	return v.SI()
}

// show prints a value as a person would write it: a plain number for a ratio,
// metres for what no calliper spans.
func show(v value) string {
	switch v := v.(type) {
	case quantity.Ratio:
		return plain(v.SI())
	case quantity.Length:
		if math.Abs(v.SI()) >= 10 {
			return plain(v.SI()) + " m"
		}
	}
	return v.String()
}

// plain prints a number to at most four decimals, without an exponent.
func plain(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4+0, 'f', -1, 64) }

// betweenOr is between for a field that may be left out.
func betweenOr[T value](r *validator, path string, v, otherwise, lo, hi T) float64 {
	if !r.given(path) {
		return otherwise.SI()
	}
	return between(r, path, v, lo, hi)
}

// onShaft is an angle or a speed: it names its shaft and can be brought to the
// crank.
type onShaft interface {
	Crank(d advance.Drive) (float64, error)
	String() string
}

// crank returns v at the crank after checking that it stands in the file and lies
// in its range, both ends included and given in the unit.
func (r *validator) crank(path string, v onShaft, lo, hi float64, unit string) float64 {
	if !r.given(path) {
		r.fail(path, "is missing; valid is %g to %g %s", lo, hi, unit)
		return lo
	}
	x, err := v.Crank(r.drive)
	r.wrap(path, err)
	if !(x >= lo && x <= hi) {
		other := ""
		if s := v.String(); strings.HasSuffix(s, " "+quantity.Distributor.String()) {
			other = s + ", which is "
		}
		r.fail(path, "is %s%s %s; valid is %g to %g %s", other, plain(x), unit, lo, hi, unit)
	}
	return x
}

// rpm returns an engine speed that must lie in its range.
func (r *validator) rpm(path string, s quantity.Speed, lo, hi float64) float64 {
	return r.crank(path, s, lo, hi, "rpm crank")
}

// rpmOr is rpm for a field that may be left out.
func (r *validator) rpmOr(path string, s quantity.Speed, otherwise, lo, hi float64) float64 {
	if !r.given(path) {
		return otherwise
	}
	return r.rpm(path, s, lo, hi)
}

// degrees returns an angle in crank degrees that must lie in its range.
func (r *validator) degrees(path string, a quantity.Angle, lo, hi float64) float64 {
	return r.crank(path, a, lo, hi, "deg crank")
}

// degreesOr is degrees for a field that may be left out.
func (r *validator) degreesOr(path string, a quantity.Angle, otherwise, lo, hi float64) float64 {
	if !r.given(path) {
		return otherwise
	}
	return r.degrees(path, a, lo, hi)
}

// whole checks a count, which may be left out if there is a default other than
// 0. It returns the least one for a count that is refused, so that whoever builds
// on with it is not led astray.
func (r *validator) whole(path string, n, otherwise, lo, hi int) int {
	if !r.given(path) && otherwise > 0 {
		return otherwise
	}
	if n < lo || n > hi {
		r.fail(path, "is %d, valid is %d to %d", n, lo, hi)
		return lo
	}
	return n
}

// text checks a line of text that will be printed: not longer than most
// characters, and nothing in it that moves a terminal's cursor.
func (r *validator) text(path, s string, most int) {
	if n := utf8.RuneCountInString(s); n < 1 || n > most {
		r.fail(path, "has %d characters, valid is 1 to %d", n, most)
	}
	if i := strings.IndexFunc(s, unicode.IsControl); i >= 0 {
		c, _ := utf8.DecodeRuneInString(s[i:])
		r.fail(path, "holds the control character %q, valid is one line of plain text", c)
	}
}

// name checks a name: a short text, not "none", not taken before.
func (r *validator) name(path, name string, taken map[string]bool) {
	switch {
	case name == "" || name == none:
		r.fail(path, "is %q; every part needs a name of its own, and %q means no part", name, none)
	case taken[name]:
		r.fail(path, "%q is the name of another part already", name)
	}
	r.text(path, name, 60)
	taken[name] = true
}

// point returns [x, y] in m; both within a hand's breadth of the shaft.
func (r *validator) point(path string, p []quantity.Length) (x, y float64) {
	if len(p) != 2 {
		r.fail(path, "has %d coordinates, valid is two lengths, [x, y]", len(p))
		return 0, 0
	}
	for _, v := range p {
		if !(math.Abs(v.SI()) <= 0.2) {
			r.fail(path, "is [%s, %s], valid is at most 200 mm either way", p[0], p[1])
		}
	}
	return p[0].SI(), p[1].SI()
}
