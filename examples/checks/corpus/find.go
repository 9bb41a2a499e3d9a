package corpus

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/bobweight/advance/quantity"
)

// arithmetic is the relative agreement asked of a value that is exact: some
// thousands of roundings of a float64.
const arithmetic = 1e-12

// tie widens an allowance by this part of itself, so that a computed value on
// the very edge of the last digit is not refused for a rounding of the binary
// number that stands for the published decimal one.
const tie = 1e-9

// target is what one computed value is held against.
type target struct {
	name      string
	published string            // text as published, "9.4 N/mm"
	unit      string            // its unit, in which the computed value is shown
	low, high quantity.Quantity // equal but for a range
	allowed   float64           // SI, beyond low and high
	tolerance string            // the allowance in words
	erratum   string
	span      float64 // SI, plausible range of a measured value
	outside   string  // why it lies beyond its band
}

// gap returns how far the computed value lies from the target in SI (signed, 0
// inside a range), and whether that is allowed. NaN is not.
func (t target) gap(got quantity.Quantity, exact bool) (diff float64, ok bool) {
	switch {
	case got.SI < t.low.SI:
		diff = got.SI - t.low.SI
	case got.SI <= t.high.SI:
	default: // above, or NaN
		diff = got.SI - t.high.SI
	}
	allowed := t.allowed * (1 + tie)
	if exact {
		allowed = 0
	}
	return diff, math.Abs(diff) <= allowed
}

// fits reports why a computed value cannot be compared at all.
func (t target) fits(got quantity.Quantity) error {
	switch {
	case got.Dim != t.low.Dim:
		return fmt.Errorf("computed is in %s, published in %s", got.Dim, t.low.Dim)
	case got.Shaft != t.low.Shaft:
		return fmt.Errorf("computed is on shaft %q, published on %q", got.Shaft, t.low.Shaft)
	case math.IsNaN(got.SI) || math.IsInf(got.SI, 0):
		return fmt.Errorf("computed is %g", got.SI)
	}
	return nil
}

// published makes the target of a find from its text, and its rounding or
// tolerance if the case states one.
func published(name, text, rounding string, tol *Tolerance) (target, error) {
	q, err := quantity.Parse(text)
	if err != nil {
		return target{}, err
	}
	t := target{name: name, published: text, unit: unitOf(text), low: q, high: q}
	switch {
	case rounding != "" && tol != nil:
		return target{}, errors.New("has a rounding and a tolerance")
	case tol != nil:
		err = t.widen(*tol)
	case rounding == "exact":
		t.allowed, t.tolerance = arithmetic*math.Abs(q.SI), "exact"
	case rounding != "":
		t.allowed, err = width(rounding, q)
		t.allowed /= 2
		t.tolerance = "rounded to " + rounding
	default:
		t.allowed, err = lastDigit(text, q)
		t.allowed /= 2
	}
	if err == nil && !(t.allowed > 0) && q.SI != 0 {
		err = errors.New("the tolerance is not above zero")
	}
	return t, err
}

// between makes the target of a range, which a tolerance may widen.
func between(name string, r Range, tol *Tolerance) (target, error) {
	low, err := quantity.Parse(r.From)
	if err != nil {
		return target{}, fmt.Errorf("from: %w", err)
	}
	high, err := quantity.Parse(r.To)
	if err != nil {
		return target{}, fmt.Errorf("to: %w", err)
	}
	if low.Dim != high.Dim || low.Shaft != high.Shaft || !(low.SI < high.SI) {
		return target{}, fmt.Errorf("range %s to %s is not of one kind or does not rise", r.From, r.To)
	}
	t := target{
		name: name, published: r.From + " to " + r.To, unit: unitOf(r.From), low: low, high: high,
		allowed: arithmetic * math.Max(math.Abs(low.SI), math.Abs(high.SI)), tolerance: "range",
	}
	if tol != nil {
		err = t.widen(*tol)
	}
	return t, err
}

// widen puts a stated tolerance in the place of the last digit.
func (t *target) widen(tol Tolerance) (err error) {
	if strings.TrimSpace(tol.Because) == "" || tol.Within == "" {
		return errors.New("a tolerance needs both within and because, its reason")
	}
	t.allowed, err = width(tol.Within, t.high)
	t.tolerance = "within " + tol.Within + ": " + tol.Because
	return err
}

// width returns the size in SI of a tolerance on q: a part of it in percent, or
// a difference in a unit of its dimension. A difference of temperatures is in K.
func width(text string, q quantity.Quantity) (float64, error) {
	w, err := quantity.Parse(text)
	switch {
	case err != nil:
		return 0, err
	case strings.HasSuffix(text, "%") && unitOf(text) == "%" && (q.Dim != dimNumber || q.SI != 0):
		return math.Abs(q.SI) * w.SI, nil
	case w.Dim != q.Dim || w.Shaft != q.Shaft:
		return 0, fmt.Errorf("%q is not of the same kind as the published value", text)
	case w.Dim == dimTemperature && strings.HasPrefix(unitOf(text), "deg") && unitOf(text) != "degR":
		return 0, fmt.Errorf("%q: a difference of temperatures is written in K", text)
	}
	return w.SI, nil
}

// lastDigit returns the size in SI of one unit of the last written digit.
func lastDigit(text string, q quantity.Quantity) (float64, error) {
	digits, _ := number(text)
	mantissa, exponent, _ := strings.Cut(strings.ToLower(digits), "e")
	power := 0
	if exponent != "" {
		var err error
		if power, err = strconv.Atoi(exponent); err != nil {
			return 0, fmt.Errorf("exponent of %q: %w", text, err)
		}
	}
	if _, fraction, ok := strings.Cut(mantissa, "."); ok {
		power -= len(fraction)
	}
	unit := unitOf(text)
	switch unit {
	case "degC":
		unit = "K"
	case "degF":
		unit = "degR"
	}
	step, err := quantity.Parse("1e" + strconv.Itoa(power) + " " + unit)
	if err != nil {
		return 0, err
	}
	if step.Dim != q.Dim {
		return 0, fmt.Errorf("the last digit of %q has no size", text)
	}
	return step.SI, nil
}

// number parts a quantity's text after its number.
func number(text string) (digits, rest string) {
	text = strings.TrimSpace(text)
	end := strings.IndexFunc(text, func(c rune) bool { return !strings.ContainsRune("0123456789+-.eE", c) })
	if end < 0 {
		end = len(text)
	}
	// An e belongs to the number only where digits follow.
	digits = strings.TrimRight(text[:end], "eE+-")
	return digits, text[len(digits):]
}

// unitOf returns the unit of a quantity's text without its shaft.
func unitOf(text string) string {
	_, unit := number(text)
	unit = strings.TrimSpace(unit)
	for _, s := range []quantity.Shaft{quantity.Crank, quantity.Distributor} {
		unit = strings.TrimSuffix(unit, " "+s.String())
	}
	if unit == ":1" {
		return "1"
	}
	return unit
}
