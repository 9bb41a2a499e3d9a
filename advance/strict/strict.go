// Package strict decodes JSON for people: every mistake is named with the line, the
// column and the field it stands in, all of them in one run, each with its mend.
// Nothing is guessed: a document with a mistake is refused.
//
// Compared with encoding/json, it also refuses unknown fields, a field given
// twice, names in other letter case, null, text after the end, invalid UTF-8
// and documents deeper or longer than a stated limit. It passes over a byte order
// mark at the beginning, as RFC 8259 section 8.1 allows: editors leave them. After
// a successful decode a [Lines] value still knows on which line each field stood,
// so that a later check of the field's meaning can point at it too.
//
// Messages hold no control characters, bidirectional marks or line separators of
// the document, and no more than [maxQuote] characters of it.
package strict

import (
	"fmt"
	"reflect"
	"strings"
)

// MaxBytes and MaxDepth limit a document: no job or corpus file that a person
// writes comes near them.
const (
	MaxBytes = 4 << 20
	maxDepth = 32
)

// Lines tells the line of every field of a decoded document by its path, such
// as "engine.bore" or "readings[3].rpm".
type Lines map[string]int

// Of returns the line of the field, or that of the nearest field around it: a
// field that was left out is missing from the object that should hold it. The
// document itself, path "", stands on line 1.
func (l Lines) Of(path string) int {
	for path != "" {
		if n, ok := l[path]; ok {
			return n
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return 1
}

// Decode reads one JSON value from data into v, a non-nil pointer.
//
// Structs are matched by their json tags exactly. A type that implements
// [encoding.TextUnmarshaler] is read from a string; its error becomes the
// message. On mistakes the error unwraps to a list of [*Error] and reads as one line
// for each, ordered by place; what could be read stands in v, and the lines are
// returned too, so that the check of the rest can go on. The time grows with the
// length of the document and no faster.
func Decode(data []byte, v any) (Lines, error) {
	d := &decoder{scanner: scanner{line: 1}, lines: Lines{}, types: map[reflect.Type]*fields{}, faults: &faults{}}
	target := reflect.ValueOf(v)
	if target.Kind() != reflect.Pointer || target.IsNil() {
		d.faults.add(d.place(0), "", "the program gave no place to decode into", nil)
		return nil, d.faults
	}
	good, complaint := textOf(data)
	d.data = good
	if complaint != "" {
		d.skipTo(len(good))
		d.faults.add(d.place(d.scanner.at), "", complaint, nil)
		return nil, d.faults
	}
	if err := d.value(target.Elem(), "", 0); err == nil {
		if t := d.peek(); t.kind != end {
			d.faults.add(t.at, "", "text stands after the end of the document", nil)
		}
	}
	return d.lines, d.faults.err()
}

// maxQuote is how many characters of a document a message shows.
const maxQuote = 60

// Error is a mistake in a document and the place where it stands.
type Error struct {
	Line   int    // from 1
	Column int    // in bytes, from 1; 0 where only the line is known
	Field  string // path such as "drawer.springs[2].rate", empty at the top
	Msg    string // what is wrong, a clause, with the mend where there is one
	Cause  error  // what another package said, nil for none; Msg holds its words
}

// Error returns the mistake as one line.
func (e *Error) Error() string {
	if e == nil {
		return "cannot read"
	}
	at := fmt.Sprintf("line %d", e.Line)
	if e.Column > 0 {
		at += fmt.Sprintf(", column %d", e.Column)
	}
	if e.Field == "" {
		return at + ": " + e.Msg
	}
	return at + ": " + e.Field + ": " + e.Msg
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error {
	if e == nil {
		return nil
	}
	return e.Cause
}
