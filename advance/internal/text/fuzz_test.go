package text_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/bobweight/advance/internal/text"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever is wrapped, its words come out in their order, in lines no wider than asked
// but for a word that is; whatever is rounded moves by half a hundredth at most.
func FuzzText(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add("A builder reads the light at 2 000 rpm crank.", 20, 12.345)
	f.Add("x\u2028y\tz\xff\u202e", 0, math.Inf(1))
	f.Add(strings.Repeat("long", 99)+" b", -5, -0.004)
	f.Add("", math.MaxInt, 1<<53+2.0)
	f.Fuzz(func(t *testing.T, s string, width int, x float64) {
		lines := text.Wrap(s, width)
		if got, want := strings.Join(lines, " "), strings.Join(strings.Fields(s), " "); got != want {
			t.Errorf("wrapped is %q, want %q", got, want)
		}
		for _, line := range lines {
			if utf8.RuneCountInString(line) > width && strings.Contains(line, " ") {
				t.Errorf("%q is wider than %d", line, width)
			}
		}
		if y := text.Round(x); x-x == 0 && !(math.Abs(y-x) <= 0.005+1e-15*math.Abs(x)) || y == 0 && math.Signbit(y) {
			t.Errorf("%v rounded is %v", x, y)
		}
	})
}
