// Package text holds how the job and the sheet round and wrap what they print.
package text

import (
	"math"
	"strings"
	"unicode/utf8"
)

// Round rounds to a hundredth, half away from zero, without a negative zero. What
// has no hundredths, from 2^53 on, stays, and so do NaN and the infinities.
func Round(x float64) float64 {
	if !(math.Abs(x) < 1<<53) {
		return x
	}
	return math.Round(x*100)/100 + 0
}

// Wrap breaks a sentence at spaces into lines of at most width characters; a
// longer word keeps a line to itself.
func Wrap(text string, width int) []string {
	var lines []string
	var now string
	for _, word := range strings.Fields(text) {
		switch {
		case now == "":
			now = word
		case utf8.RuneCountInString(now)+1+utf8.RuneCountInString(word) <= width:
			now += " " + word
		default:
			lines = append(lines, now)
			now = word
		}
	}
	if now != "" {
		lines = append(lines, now)
	}
	return lines
}
