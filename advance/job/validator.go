package job

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/strict"
	"example.org/bobweight/vacuum"
)

// ErrJob is wrapped by every error that a job file, or what belongs to it,
// causes. The message names the line and the field.
var ErrJob = errors.New("job")

// validator checks what the fields of a file mean. It keeps every complaint, and
// beside them the fields that a stage needs and the file leaves out: these are asked
// for in the report and refuse nothing.
type validator struct {
	lines   strict.Lines
	file    string // that the lines are of, beside the job; empty for the job's own
	drive   advance.Drive
	syntax  []*strict.Error // mistakes of writing, by the decoder
	faults  []fault
	missing []string
	notes   []string // for the report
	// measured is what lengths under load, or the wire, tell of springs.
	measured []string
}

// fault is one complaint about what a field means.
type fault struct {
	path string
	line int // of the job file
	err  error
}

// given reports whether the field stands in the file.
func (r *validator) given(path string) bool { _, ok := r.lines[path]; return ok }

// sound reports that nothing in any of the fields has been refused so far, so that they
// can be held against each other.
func (r *validator) sound(paths ...string) bool {
	for _, path := range paths {
		if r.misspelt(path) || slices.ContainsFunc(r.faults, func(f fault) bool { return inside(f.path, path) }) {
			return false
		}
	}
	return true
}

// misspelt reports whether a field, or one inside it, is not written as it should be: its
// value is then not what somebody meant. A comma or brace that is wrong around it spoils
// no value.
func (r *validator) misspelt(path string) bool {
	return slices.ContainsFunc(r.syntax, func(e *strict.Error) bool { return e.Field != "" && inside(e.Field, path) })
}

// add keeps a complaint, unless how the field is written was complained of already.
func (r *validator) add(path string, err error) {
	if !r.misspelt(path) {
		r.faults = append(r.faults, fault{path, r.lines.Of(path), err})
	}
}

// fail keeps a complaint about a field.
func (r *validator) fail(path, format string, args ...any) {
	in := ""
	if r.file != "" {
		in = r.file + ": "
	}
	r.add(path, fmt.Errorf("%w: %sline %d: %s: %s", ErrJob, in, r.lines.Of(path), path, fmt.Sprintf(format, args...)))
}

// wrap keeps what another package says about the parts that a field describes.
func (r *validator) wrap(path string, err error) {
	if err != nil {
		r.add(path, fmt.Errorf("%w: line %d: %s: %w", ErrJob, r.lines.Of(path), path, err))
	}
}

// lack notes a field that a stage needs and the file leaves out.
func (r *validator) lack(path string) {
	if !slices.Contains(r.missing, path) {
		r.missing = append(r.missing, path)
	}
}

// lacks reports whether a field, or one inside it, was needed and left out.
func (r *validator) lacks(path string) bool {
	return slices.ContainsFunc(r.missing, func(m string) bool { return inside(m, path) })
}

// inside reports whether a path is another one or lies inside it.
func inside(path, outer string) bool {
	rest, ok := strings.CutPrefix(path, outer)
	return ok && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// err is every complaint, of writing and of meaning, one on a line in the order of the
// file; nil if there is none.
func (r *validator) err() error {
	list := make([]fault, 0, len(r.syntax)+len(r.faults))
	for _, e := range r.syntax {
		said := *e
		said.Msg = asWritten(e.Field, e.Msg)
		list = append(list, fault{e.Field, e.Line, fmt.Errorf("%w: %w", ErrJob, &said)})
	}
	list = append(list, r.faults...)
	slices.SortStableFunc(list, func(a, b fault) int { return cmp.Compare(a.line, b.line) })
	said := make([]error, 0, len(list))
	for _, f := range list {
		said = append(said, f.err)
	}
	return inWords(errors.Join(said...))
}

// value is any quantity that knows its SI value and how to print itself.
type value interface {
	SI() float64
	String() string
}

// between returns v in SI after checking that it lies in its range, both ends
// included. A field that is left out is noted as lacking.
func between[T value](r *validator, path string, v, lo, hi T) float64 {
	if !r.given(path) {
		r.lack(path)
		return lo.SI()
	}
	if x := v.SI(); !(x >= lo.SI() && x <= hi.SI()) {
		r.fail(path, "is %s, valid is %s to %s", show(v), show(lo), show(hi))
		return lo.SI()
	}
	return v.SI()
}

// show prints a value as a person would write it: a plain number for a ratio,
// metres for what no calliper spans.
func show(v value) string {
	switch v := v.(type) {
	case quantity.Ratio:
		return plain(v.SI())
	case quantity.Vacuum:
		return plainTenth(v.SI()/vacuum.InchOfMercury) + " inHg"
	case quantity.Length:
		if math.Abs(v.SI()) >= 10 {
			return plain(v.SI()) + " m"
		}
	}
	return v.String()
}

// plainTenth prints a number to a tenth.
func plainTenth(x float64) string { return strconv.FormatFloat(math.Round(10*x)/10+0, 'f', -1, 64) }

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

// crank returns v at the crank after checking that it lies in its range, both ends
// included and given in the unit. A field that is left out is noted as lacking.
func (r *validator) crank(path string, v onShaft, lo, hi float64, unit string) float64 {
	if !r.given(path) {
		r.lack(path)
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
		return lo
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

// whole checks a count. One that is left out takes the default, or is noted as
// lacking where the default is 0. It returns the default, or the least one, for a count that is refused, so that whoever builds
// on with it is not led astray.
func (r *validator) whole(path string, n, otherwise, lo, hi int) int {
	if !r.given(path) {
		if otherwise == 0 {
			r.lack(path)
		}
		return max(otherwise, lo)
	}
	if n < lo || n > hi {
		r.fail(path, "is %d, valid is %d to %d", n, lo, hi)
		return max(otherwise, lo)
	}
	return n
}

// text checks a line of text that will be printed: not longer than most
// characters, and nothing in it that moves a terminal's cursor or turns its text round.
func (r *validator) text(path, s string, most int) {
	if n := utf8.RuneCountInString(s); n < 1 || n > most {
		r.fail(path, "has %d characters, valid is 1 to %d", n, most)
	}
	if i := strings.IndexFunc(s, func(c rune) bool { return !unicode.IsGraphic(c) }); i >= 0 {
		c, _ := utf8.DecodeRuneInString(s[i:])
		r.fail(path, "holds the character %+q, valid is one line of plain text", c)
	}
}

// name returns a name after checking it: a short text, not "none", not taken before.
// What has none is named by its kind and number, as the report must call it something.
func (r *validator) name(path, name, kind string, i int, taken map[string]bool) string {
	if !r.given(path) {
		name = fmt.Sprintf("%s %d", kind, i+1)
		taken[name] = true
		return name
	}
	switch {
	case name == "" || name == none:
		r.fail(path, "is %q; every part needs a name of its own, and %q means no part", name, none)
	case taken[name]:
		r.fail(path, "%q is the name of another part already", name)
	}
	r.text(path, name, 60)
	taken[name] = true
	return name
}

// point returns [x, y] in m; both within a hand's breadth of the shaft.
func (r *validator) point(path string, p []quantity.Length) (x, y float64) {
	if !r.given(path) {
		r.lack(path)
		return 0, 0
	}
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

// otherKind is how many mistakes of writing make a file one of another kind, of which
// nothing more is said.
const otherKind = 20

// mistakes lists what the decoder found.
func mistakes(err error) []*strict.Error {
	all, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return nil
	}
	var list []*strict.Error
	for _, one := range all.Unwrap() {
		if e, ok := one.(*strict.Error); ok {
			list = append(list, e)
		}
	}
	return list
}

// decodeFaults is what the decoder found, one mistake a line, each said to be of the
// job as the validator's are.
type decodeFaults struct{ cause error }

func (d decodeFaults) Error() string {
	of := ErrJob.Error() + ": "
	return of + strings.ReplaceAll(d.cause.Error(), "\n", "\n"+of)
}

func (d decodeFaults) Unwrap() []error { return []error{ErrJob, d.cause} }
