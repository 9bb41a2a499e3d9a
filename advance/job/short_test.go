package job

import "testing"

// The first screen prints the digits that stand below it: 36.652 kept as 36.65 is not
// rounded once more.
func TestShortIsTheTextBelow(t *testing.T) {
	for want, e := range map[string]Estimate{
		"36.7 deg":          {Bound: "interval", Value: 36.65, Text: "36.7 deg crank (95 % interval 35.5 to 37.8)"},
		"at most 928 rpm":   {Bound: "at most", Text: "at most 928 rpm crank (95 % sure)"},
		"at least 25.8 deg": {Bound: "at least", Text: "at least 25.8 deg crank (95 % sure)"},
		"not known":         {Text: "not shown by these readings"},
	} {
		if got := short(e); got != want {
			t.Errorf("%+v: %q, want %q", e, got, want)
		}
	}
}
