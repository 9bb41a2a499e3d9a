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

// faults are the mistakes of one document, collected so that a person mends them in
// one go. As an error they read as one line for each, ordered by place.
type faults struct {
	list []*Error
	more int // mistakes beyond those listed
}

func (f *faults) add(place Error, field, msg string, cause error) {
	if len(f.list) == maxFaults {
		f.more++
		return
	}
	place.Field, place.Msg, place.Cause = field, printable(msg, maxMessage), cause
	f.list = append(f.list, &place)
}

// err returns the mistakes as an error, nil where there are none.
func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	return f
}

// Error lists the mistakes, one a line.
func (f *faults) Error() string {
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
func (f *faults) Unwrap() []error {
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
