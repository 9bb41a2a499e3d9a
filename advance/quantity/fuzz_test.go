package quantity

import (
	"encoding/json"
	"math"
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

// FuzzFields runs the same through the JSON fields of a file.
func FuzzFields(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, s := range []string{`"18.5 g"`, `"12 deg crank"`, `"1300 rpm dist"`, `"68 degF"`, `18.5`, `null`, `"\ud800"`, `{"a":1}`, `"3 rad/s dist"`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		again[Mass](t, data)
		again[Temperature](t, data)
		again[Stiffness](t, data)
		again[Ratio](t, data)
		again[Turns](t, data)
		again[Angle](t, data)
		again[Speed](t, data)
	})
}

func again[T comparable](t *testing.T, data []byte) {
	var v, back T
	if err := json.Unmarshal(data, &v); err != nil {
		clean(t, err)
		return
	}
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatalf("%q decodes to %v, which does not encode: %v", data, v, err)
	}
	if err := json.Unmarshal(text, &back); err != nil || back != v {
		t.Fatalf("%q decodes to %v, is written %s and read back as %v, %v", data, v, text, back, err)
	}
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
