package fuzzing

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// Inputs keep the types of their seeds, and soon every argument has been another.
func TestInputsKeepTheirTypes(t *testing.T) {
	seeds := [][]any{{1.5, true, "text", []byte("{}"), 3, uint8(4), uint16(5), uint64(6)}, {0.0, false, "", []byte(nil), 0, uint8(0), uint16(0), uint64(0)}}
	d := &drawer{rand.New(rand.NewPCG(1, 2)), seeds}
	var changed [8]int
	for range 4000 {
		in := d.input()
		for i, a := range in {
			if reflect.TypeOf(a) != reflect.TypeOf(seeds[0][i]) {
				t.Fatalf("argument %d is a %T, its seed a %T", i, a, seeds[0][i])
			}
			if !reflect.DeepEqual(a, seeds[0][i]) && !reflect.DeepEqual(a, seeds[1][i]) {
				changed[i]++
			}
		}
	}
	for i, n := range changed {
		if i != 1 && n < 200 {
			t.Errorf("argument %d differs from its seeds in %d of 4000 inputs", i, n)
		}
	}
	if seeds[0][2] != "text" || string(seeds[0][3].([]byte)) != "{}" {
		t.Errorf("the seeds have changed: %v", seeds)
	}
}

// What a fuzzer holds is gathered and looked through wherever it stands.
func TestFieldsAreFound(t *testing.T) {
	type inner struct{ X, y float64 }
	v := &struct {
		A float64
		B []inner
		C *inner
		D any
	}{A: 1, B: []inner{{2, 3}, {4, 5}}, C: &inner{6, 7}, D: 8.0}
	if n := len(Floats(v)); n != 4 {
		t.Errorf("%d numbers that can be set, want 4", n)
	}
	for _, f := range Floats(v) {
		f.SetFloat(math.NaN())
		failed := new(testing.T)
		Finite(failed, "value", nil, v)
		if !failed.Failed() {
			t.Error("NaN is not seen")
		}
		f.SetFloat(1)
	}
	Finite(t, "value", nil, v)
}

// The fuzzer of the fuzzers: both ways to draw lead here.
func FuzzDrawing(tf *testing.F) {
	f := New(tf)
	f.Pairs(3)
	f.Fuzz(func(t *testing.T, _ uint16, x float64, _ uint16, y float64) {
		if x > 0 && y > 0 && math.Hypot(x, y) < max(x, y) {
			t.Errorf("hypotenuse of %g and %g is shorter than one of them", x, y)
		}
	})
}

// Every place of a document and every kind of change is reached, and a document
// comes out that differs, or nothing where there can be none.
func TestRewrite(t *testing.T) {
	const document = `{"a":[1,"two"],"b":{"c":null}}`
	seen := map[string]bool{}
	for place := range uint16(6) {
		for kind := range uint16(8) {
			seen[string(Rewrite([]byte(document), place, kind, "5"))] = true
		}
	}
	for _, want := range []string{
		`{"a":["5","two"],"b":{"c":null}}`, `{"a":[1,5],"b":{"c":null}}`, `{"5":[1,"two"],"b":{"c":null}}`, `{"a":[1,"two"]}`,
		`{"a":[1,"two"],"b":{"c":[null,null,null]}}`, `{"a":[1,"two"],"b":{"5":{"c":null}}}`, `[]`, `null`,
	} {
		if !seen[want] {
			t.Errorf("%s does not come out", want)
		}
	}
	if Rewrite([]byte("{"), 0, 0, "") != nil || Rewrite([]byte(document), 1, 7, "1e") != nil {
		t.Error("no document comes of none, or of a number that is none")
	}
}
