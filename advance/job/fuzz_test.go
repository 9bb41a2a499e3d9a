package job_test

import (
	"encoding/json"
	"errors"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
	"example.org/bobweight/springs/fuzzing"
)

// FuzzStructure changes a whole job where a person or a program would: a value, a
// name, a list, at any depth. Reading it never panics, and every refusal is lines of
// plain text of a bounded length that wrap ErrJob.
func FuzzStructure(tf *testing.F) {
	f := fuzzing.New(tf)
	demo, err := os.ReadFile("../../examples/recurve/demo.json")
	if err != nil {
		tf.Fatal(err)
	}
	for _, seed := range []struct {
		place, kind uint16
		text        string
	}{
		{0, 0, "Titel"}, {3, 0, "88"}, {4, 0, "88 furlong"}, {5, 0, "1e999 mm"}, {6, 0, "NaN mm"}, {7, 0, "-3 mm"}, {20, 0, "23 deg"},
		{30, 0, "\u202e\u2028\x1b[2J"}, {40, 1, ""}, {50, 2, "other"}, {60, 3, ""}, {70, 4, ""}, {80, 5, ""}, {90, 0, "0 mm"}, {100, 0, "none"},
		{110, 0, "1e-30 mm"}, {120, 0, "1e30 kg"}, {25, 6, ""}, {10, 7, "-2000000000"}, {11, 7, "2.5"},
	} {
		f.Add(seed.place, seed.kind, seed.text)
	}
	f.Fuzz(func(t *testing.T, place, kind uint16, text string) {
		var tree any
		if err := json.Unmarshal(demo, &tree); err != nil {
			t.Fatal(err)
		}
		spots := walk(nil, tree, func(v any) { tree = v })
		spots[int(place)%len(spots)].change(kind, text)
		data, err := json.Marshal(tree)
		if err != nil {
			return // no JSON can be made of it
		}
		j, err := job.Read(data, func(string) ([]byte, error) { return []byte(text), nil })
		if err != nil {
			clean(t, err)
			return
		}
		j.Asks()
		if j.Fitted != nil {
			// A job without slot has no stop, and no curve.
			if c, err := j.Present(); err == nil && !(c.AllIn(flyweights.Rising) > 0) {
				t.Errorf("all in at %g rad/s", c.AllIn(flyweights.Rising))
			}
		}
	})
}

// clean holds a refusal to its promises.
func clean(t *testing.T, err error) {
	t.Helper()
	said := err.Error()
	if !errors.Is(err, job.ErrJob) {
		t.Errorf("%q does not wrap ErrJob", said)
	}
	for _, line := range strings.Split(said, "\n") {
		if len(line) > 3000 || line == "" || strings.ContainsFunc(line, func(c rune) bool { return !unicode.IsGraphic(c) }) {
			t.Errorf("a message of %d bytes: %.200q", len(line), line)
		}
	}
}

// spot is a place of a document that can be changed.
type spot struct {
	value any
	put   func(any)
	// siblings is the object that holds it, nil in a list; name is its own there.
	siblings map[string]any
	name     string
}

// walk lists every place of a document in a fixed order.
func walk(out []spot, v any, put func(any)) []spot {
	out = append(out, spot{value: v, put: put})
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			from := len(out)
			out = walk(out, v[name], func(x any) { v[name] = x })
			out[from].siblings, out[from].name = v, name
		}
	case []any:
		for i := range v {
			out = walk(out, v[i], func(x any) { v[i] = x })
		}
	}
	return out
}

// change puts something else there.
func (s *spot) change(kind uint16, text string) {
	switch kind % 8 {
	case 0:
		s.put(text)
	case 1:
		s.put(nil)
	case 2:
		if s.siblings != nil {
			delete(s.siblings, s.name)
			s.siblings[text] = s.value
		}
	case 3:
		if s.siblings != nil {
			delete(s.siblings, s.name)
		}
	case 4:
		s.put([]any{s.value, s.value, s.value})
	case 5:
		s.put(map[string]any{text: s.value})
	case 6:
		s.put([]any{})
	case 7:
		s.put(json.Number(text))
	}
}
