package quantity

import (
	"math"
	"strconv"
	"strings"
)

// significant writes x with n significant digits, zeros at the end included:
// 12.0, 0.653, 14300. Only sizes that no workshop meets get an exponent.
func significant(x float64, n int) string {
	if x == 0 {
		return "0"
	}
	if a := math.Abs(x); a < 1e-4 || a >= 1e7 {
		return strconv.FormatFloat(x, 'g', n, 64)
	}
	// The exponent after rounding: 9.996 to three digits is 10.0.
	e := strconv.FormatFloat(x, 'e', n-1, 64)
	i := strings.IndexByte(e, 'e')
	exponent, err := strconv.Atoi(e[i+1:])
	if i < 0 || err != nil {
		return strconv.FormatFloat(x, 'g', n, 64)
	}
	if decimals := n - 1 - exponent; decimals >= 0 {
		return strconv.FormatFloat(x, 'f', decimals, 64)
	}
	rounded, _ := strconv.ParseFloat(e, 64)
	return strconv.FormatFloat(rounded, 'f', 0, 64)
}

// trimmed writes x with at most n significant digits, without zeros at the end
// of the fraction.
func trimmed(x float64, n int) string {
	s := significant(x, n)
	if strings.Contains(s, ".") && !strings.Contains(s, "e") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
