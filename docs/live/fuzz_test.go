package live

import (
	"encoding/json"
	"errors"
	"os"
	"strings"
	"testing"
	"unicode"

	"example.org/bobweight/springs/fuzzing"
)

// FuzzCall changes one place of a request of a page, and the job that is open with it.
// Every answer is JSON, and every refusal plain lines of a bounded length.
func FuzzCall(tf *testing.F) {
	f := fuzzing.New(tf)
	demo, err := os.ReadFile("../../examples/recurve/demo.json")
	if err != nil {
		tf.Fatal(err)
	}
	var s Session
	start, err := s.open(demo, nil)
	if err != nil {
		tf.Fatal(err)
	}
	recipe := &Recipe{Springs: map[string]string{}, Weights: s.job.Drawer.Weights[0].Name, Slot: 9, Static: 10}
	for _, place := range start.Places {
		recipe.Springs[place] = s.job.Drawer.Springs[0].Name
	}
	want := &Engine{Want: []Want{{RPM: 2000, MBT: 35, Limited: true, Limit: 30}, {RPM: 3000, MBT: 38, Limited: true, Limit: 33}}}
	requests := []struct {
		name string
		of   any
	}{
		{"mechanism", start.Knobs}, {"readings", Light{Readings: start.Readings, Angle: 1, Speed: 25, Band: true}},
		{"begin", Opening{Job: string(demo), Recipe: recipe}}, {"wants", want}, {"engine", start.Pump}, {"open", json.RawMessage(demo)},
	}
	texts := []string{"-1", "1e308", "0", "1e-300", "none", "\u202e\x1b[2J", "{}", "1e999"}
	for i := range requests {
		for k := range 12 {
			f.Add(uint16(i), uint16(5*k+1), uint16(7), texts[k%len(texts)])
			f.Add(uint16(i), uint16(k), uint16(k), texts[(k+3)%len(texts)])
		}
	}
	f.Fuzz(func(t *testing.T, call, place, kind uint16, text string) {
		q := requests[int(call)%len(requests)]
		in, err := json.Marshal(q.of)
		if err != nil {
			t.Fatal(err)
		}
		if in = fuzzing.Rewrite(in, place, kind, text); in == nil {
			in = []byte(text)
		}
		var s Session
		if _, err := s.open(demo, nil); err != nil {
			t.Fatal(err)
		}
		for _, request := range []struct {
			name string
			in   []byte
		}{{q.name, in}, {"mechanism", mustJSON(t, start.Knobs)}} { // what comes after a strange request still works
			out, err := s.Call(t.Context(), request.name, request.in, nil)
			if err == nil && !json.Valid(out) {
				t.Errorf("%s: no JSON: %.100q", request.name, out)
			}
			if err != nil {
				refused(t, err)
			}
		}
	})
}

func mustJSON(t *testing.T, v any) []byte {
	t.Helper()
	out, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// refused holds a refusal to its promises.
func refused(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, ErrCall) || errors.As(err, new(*json.UnsupportedValueError)) {
		t.Errorf("%v is no refusal of this package", err)
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		if len(line) > 3000 || strings.ContainsFunc(line, func(c rune) bool { return !unicode.IsGraphic(c) }) {
			t.Errorf("a message of %d bytes: %.200q", len(line), line)
		}
	}
}
