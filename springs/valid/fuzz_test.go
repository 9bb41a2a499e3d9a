package valid

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// Whatever value and ends: it passes exactly if it is finite and lies between them, and
// is else refused in one sentence that names the field.
func FuzzCheck(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add(1.0, 0.0, 2.0, true, "wire diameter", "m")
	f.Add(math.NaN(), math.Inf(-1), math.Inf(1), false, "x", "")
	f.Add(math.Inf(1), 0.0, math.Inf(1), true, "x", "1")
	f.Add(0.0, 0.0, -1.0, false, "", "")
	f.Add(math.MaxFloat64, math.NaN(), math.NaN(), true, "x", "rpm crank")
	f.Fuzz(func(t *testing.T, value, from, to float64, above bool, field, unit string) {
		r := In(field, value, unit, from, to)
		if above {
			r = Above(field, value, unit, from, to)
		}
		inside := value >= from && value <= to && !(above && value == from) && math.Abs(value) <= math.MaxFloat64
		sentinel := Sentinel("springs")
		err := Check(sentinel, In("other", 1, "", 0, 2), r)
		if inside != (err == nil) {
			t.Fatalf("%+v: %v", r, err)
		}
		if Finite(value) != (math.Abs(value) <= math.MaxFloat64) {
			t.Errorf("finite is said wrongly of %g", value)
		}
		if err == nil {
			return
		}
		text := err.Error()
		if !errors.Is(err, sentinel) || !errors.Is(err, ErrRange) || !strings.HasPrefix(text, "springs: value out of range: "+field+" is ") || !strings.Contains(text, ", valid is ") {
			t.Errorf("%+v: %q", r, text)
		}
	})
}
