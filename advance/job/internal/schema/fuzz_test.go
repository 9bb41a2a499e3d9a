package schema

import (
	"testing"

	"example.org/bobweight/springs/fuzzing"
)

// Whatever the text of an octane number: it is refused with a sentence, or a number in
// its range comes of it that is written and read again as the same.
func FuzzOctane(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, text := range []string{"95 RON", " 85  MON", "91 (R+M)/2", "95", "RON", "1e999 RON", "NaN MON", "0x5fp0 RON", "4_0 RON", "\u202e95 RON", ""} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var o, again Octane
		if err := o.UnmarshalText(text); err != nil {
			if err.Error() == "" || o != (Octane{}) {
				t.Errorf("%q: refused with %q, and %v came", text, err, o)
			}
			return
		}
		written, err := o.MarshalText()
		if err != nil || again.UnmarshalText(written) != nil || again != o || !(o.Number >= 40 && o.Number <= 120) {
			t.Errorf("%q is %v, written %q (%v), read again %v", text, o, written, err, again)
		}
	})
}
