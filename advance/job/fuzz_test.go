package job_test

import (
	"errors"
	"os"
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
		data := fuzzing.Rewrite(demo, place, kind, text)
		if data == nil {
			return
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
