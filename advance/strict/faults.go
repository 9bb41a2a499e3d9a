package strict

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxFaults is how many mistakes are listed; a file with more is of another kind.
const maxFaults = 20

// Faults are the mistakes of one document, collected so that a person mends them in
// one go. As an error it reads as one line for each, ordered by place. The zero
// value is ready to use.
type Faults struct {
	list []*Error
	more int // mistakes beyond those listed
}

// Add notes a mistake of a field at its line. A field that has one already, or lies
// inside one that has, is not complained of again: the second mistake follows from
// the first. A nil cause is none; its words are not added to the message.
func (f *Faults) Add(lines Lines, field, msg string, cause error) {
	if !f.Has(field) {
		f.add(Error{Line: lines.Of(field)}, field, msg, cause)
	}
}

func (f *Faults) add(place Error, field, msg string, cause error) {
	if len(f.list) == maxFaults {
		f.more++
		return
	}
	place.Field, place.Msg, place.Cause = field, printable(msg, maxMessage), cause
	f.list = append(f.list, &place)
}

// Has reports whether the field, or one around it, has a mistake. A mistake of the
// document's own, path "", counts for itself only.
func (f *Faults) Has(field string) bool {
	for ; field != ""; field = around(field) {
		if slices.ContainsFunc(f.list, func(e *Error) bool { return e.Field == field }) {
			return true
		}
	}
	return false
}

// Err returns the mistakes as an error, nil where there are none.
func (f *Faults) Err() error {
	if f == nil || len(f.list) == 0 {
		return nil
	}
	return f
}

// Error lists the mistakes, one a line.
func (f *Faults) Error() string {
	sorted := slices.Clone(f.list)
	slices.SortStableFunc(sorted, func(a, b *Error) int { return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column)) })
	var said []string
	for _, e := range sorted {
		said = append(said, e.Error())
	}
	if f.more > 0 {
		said = append(said, fmt.Sprintf("and %d more", f.more))
	}
	return strings.Join(said, "\n")
}

// Unwrap returns the mistakes.
func (f *Faults) Unwrap() []error {
	out := make([]error, 0, len(f.list))
	for _, e := range f.list {
		out = append(out, e)
	}
	return out
}

// maxMessage is the longest message, in characters: a list of known fields is the
// longest that is worth reading.
const maxMessage = 600

// quoted shows text of a document in a message: in quotes, at most [maxQuote]
// characters of it, and whatever does not print, bidirectional marks included,
// escaped.
func quoted(text string) string {
	if utf8.RuneCountInString(text) <= maxQuote {
		return strconv.Quote(text)
	}
	return strconv.Quote(string([]rune(text)[:maxQuote])) + "..."
}

// printable escapes what does not print and cuts what is longer than most
// characters.
func printable(s string, most int) string {
	var b strings.Builder
	n := 0
	for _, c := range s {
		if n++; n > most {
			b.WriteString("...")
			break
		}
		if strconv.IsPrint(c) {
			b.WriteRune(c)
			continue
		}
		b.WriteString(strings.Trim(strconv.QuoteRune(c), "'"))
	}
	return b.String()
}
