package quantity

import (
	"example.org/bobweight/springs/valid"

	"errors"
	"fmt"
	"strconv"
)

// The kinds of refusal. Every error of this package wraps exactly one of them.
var (
	// errSyntax: the text is not a number followed by a unit.
	errSyntax = errors.New("quantity: unreadable value")
	// errUnit: the unit is missing, unknown or of another kind.
	errUnit = errors.New("quantity: wrong unit")
	errNil  = errors.New("quantity: there is no value to read into: the pointer is nil")
	// errShaft: an angle or speed does not say crank or dist.
	errShaft = errors.New("quantity: shaft not named")
	// errRange: the number is outside the range of its kind.
	errRange = valid.Sentinel("quantity")
)

// refuse builds the one sentence of an error.
func refuse(kind error, format string, args ...any) error {
	return fmt.Errorf("%w: %s", kind, fmt.Sprintf(format, args...))
}

// quote shows the caller's text, shortened, with whatever cannot be printed
// escaped.
func quote(s string) string {
	const most = 40
	if len(s) > most {
		return strconv.QuoteToASCII(s[:most]) + "..."
	}
	return strconv.QuoteToASCII(s)
}
