package quantity

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/bobweight/springs/fuzzing"
)

// FuzzParse checks that whatever decodes is finite and writes a text that
// decodes to the same bits, and that every refusal is one line of text.
func FuzzParse(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, s := range []string{
		"18.5 g", "9.4 lbf/in", "2.1 N/mm", "14 inHg", "12 deg crank", "1300 rpm dist", "8.5:1", "20 degC", "-459.67 degF",
		"287 J/(kg K)", "1.2 g·cm²", "1e-30 m", "1e30 m", "-0 m", "0 degC", "((1))", "5 1^12", "\xff", "1e-400 g", "3 (m/s)^-2",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		q, err := Parse(s)
		if err != nil {
			clean(t, err)
			return
		}
		if math.IsNaN(q.SI) || math.Abs(q.SI) > largest {
			t.Fatalf("%q decodes to %v", s, q)
		}
		back, err := Parse(q.String())
		if err != nil || back != q {
			t.Fatalf("%q decodes to %q, which decodes to %v, %v", s, q, back, err)
		}
	})
}

// FuzzFields reads a text as each kind of field: what is read is finite and shown as a
// number, and every refusal is one line.
func FuzzFields(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, s := range []string{"18.5 g", "12 deg crank", "1300 rpm dist", "68 degF", "18.5", "", "\xff", "3 rad/s dist"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		var (
			mass        Mass
			temperature Temperature
			rate        Stiffness
			ratio       Ratio
			turns       Turns
			angle       Angle
			speed       Speed
		)
		for field, si := range map[interface {
			UnmarshalText(text []byte) error
			String() string
		}]func() float64{
			&mass: func() float64 { return mass.SI() }, &temperature: func() float64 { return temperature.SI() },
			&rate: func() float64 { return rate.SI() }, &ratio: func() float64 { return ratio.SI() },
			&turns: func() float64 { return turns.SI() },
			&angle: func() float64 { return angle.Value }, &speed: func() float64 { return speed.Value },
		} {
			if err := field.UnmarshalText(text); err != nil {
				clean(t, err)
			} else if !(math.Abs(si()) <= largest*60) || strings.HasPrefix(field.String(), "not a") {
				t.Fatalf("%q is read as %v, shown as %s", text, si(), field)
			}
		}
	})
}

func clean(t *testing.T, err error) {
	t.Helper()
	s := err.Error()
	if !utf8.ValidString(s) || len(s) > 1000 {
		t.Fatalf("message is not clean: %q", s)
	}
	for _, c := range s {
		if c < ' ' {
			t.Fatalf("message is not one line: %q", s)
		}
	}
}
