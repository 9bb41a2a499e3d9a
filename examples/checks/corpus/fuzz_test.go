package corpus

import (
	"errors"
	"io"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"

	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/testdata"
)

// FuzzCorpus changes one place of one file of the corpus. The file is refused in plain
// lines of a bounded length that name it, or its cases are compared: no calculation
// finds what is no number.
func FuzzCorpus(tf *testing.F) {
	f := fuzzing.New(tf)
	names, err := fs.Glob(testdata.Corpus, "corpus/*.json")
	if err != nil {
		tf.Fatal(err)
	}
	for i, text := range []string{"1e999 N", "NaN", "0 mm", "-3 mm", "1e300 mm", "1e-300 mm", "15 deg dist", "\u202e\x1b[2J", "", "exact", "to 1 %", "5 mm to 3 mm", "1e300 kg", "0.001"} {
		f.Add(uint16(7*i), uint16(11*i), uint16(0), text)
		f.Add(uint16(5*i), uint16(13*i), uint16(i), text)
	}
	f.Add(uint16(49), uint16(65450), uint16(10), "\u202e\x1b[2J") // the name of a find
	f.Fuzz(func(t *testing.T, file, place, kind uint16, text string) {
		name := names[int(file)%len(names)]
		whole, err := testdata.Corpus.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		data := fuzzing.Rewrite(whole, place, kind, text)
		if data == nil {
			return
		}
		files, err := Load(fstest.MapFS{name: {Data: data}}, "corpus")
		if err != nil {
			refused(t, err)
			return
		}
		cases := files[0].Cases
		one := &File{Name: files[0].Name, Source: files[0].Source, Cases: cases[int(place)%len(cases):][:1]}
		if slow(one.Cases[0]) {
			return
		}
		r := Run([]*File{one}, Settings{})
		fuzzing.Finite(t, name, nil, r.Rows)
		for _, row := range r.Rows {
			if strings.Contains(row.Why, "computed is NaN") || strings.Contains(row.Why, "computed is +Inf") || strings.Contains(row.Why, "computed is -Inf") {
				t.Errorf("%s, %s: %s", row.Case, row.Calculation, row.Why)
			}
		}
		if err := r.Markdown(io.Discard); err != nil {
			t.Error(err)
		}
	})
}

// slow reports a calculation that asks the whole engine model, which has a fuzzer of
// its own.
func slow(c *Case) bool { return strings.HasPrefix(registry[c.Calculation].drives, "knock.") }

// refused holds the refusal of a file to its promises.
func refused(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, ErrCorpus) {
		t.Errorf("%q does not wrap ErrCorpus", err)
	}
	for line := range strings.SplitSeq(err.Error(), "\n") {
		if len(line) > 3000 || strings.ContainsFunc(line, func(c rune) bool { return !unicode.IsGraphic(c) }) {
			t.Errorf("a message of %d bytes: %.200q", len(line), line)
		}
	}
}
