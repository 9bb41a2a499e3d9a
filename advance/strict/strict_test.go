package strict_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/bobweight/advance/strict"
	"example.org/bobweight/springs/fuzzing"
	"github.com/google/go-cmp/cmp"
)

type grams string

func (g *grams) UnmarshalText(b []byte) error {
	if !strings.HasSuffix(string(b), " g") {
		return fmt.Errorf("%q has no unit, accepted is g", b)
	}
	*g = grams(b)
	return nil
}

type shelf struct {
	Title string           `json:"title"`
	Count int              `json:"count"`
	Worn  bool             `json:"worn"`
	Boxes []box            `json:"boxes"`
	Extra *box             `json:"extra"`
	Notes map[string]grams `json:"notes"`
}

type box struct {
	Mass grams `json:"mass"`
}

func TestDecodeReadsEveryKind(t *testing.T) {
	const doc = `{
  "title": "a", "count": 2, "worn": true,
  "boxes": [
    {"mass": "3 g"},
    {"mass": "4 g"}
  ],
  "extra": {"mass": "5 g"},
  "notes": {"left": "6 g"}
}`
	var got shelf
	lines, err := strict.Decode([]byte(doc), &got)
	if err != nil {
		t.Fatal(err)
	}
	want := shelf{Title: "a", Count: 2, Worn: true, Boxes: []box{{"3 g"}, {"4 g"}}, Extra: &box{"5 g"}, Notes: map[string]grams{"left": "6 g"}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	for path, line := range map[string]int{"boxes[1].mass": 5, "boxes[1].lid": 5, "boxes": 3, "nothing": 1, "": 1} {
		if n := lines.Of(path); n != line {
			t.Errorf("line of %q is %d, want %d", path, n, line)
		}
	}
}

// Each spoiled document is refused at the place where a person would look.
// A byte order mark is passed over and moves no place (RFC 8259 section 8.1).
func TestDecodePassesOverTheMark(t *testing.T) {
	var got shelf
	if _, err := strict.Decode([]byte("\ufeff{\"title\": \"a\"}"), &got); err != nil || got.Title != "a" {
		t.Errorf("title %q, error %v", got.Title, err)
	}
	_, err := strict.Decode([]byte("\ufeff\n{\"lid\": 1}"), &got)
	if e := new(strict.Error); !errors.As(err, &e) || e.Line != 2 || e.Column != 2 {
		t.Errorf("error is %v, want one at line 2, column 2", err)
	}
	if _, err := strict.Decode([]byte("{\"title\": \"a\"}\ufeff"), &got); err == nil {
		t.Error("a mark at the end is not refused")
	}
}

func TestDecodeNamesThePlace(t *testing.T) {
	for _, c := range []struct{ name, doc, want string }{
		{"unknown field", "{\n \"titel\": \"a\"}", "line 2, column 2: titel: unknown field; known here are title, count, worn, boxes, extra, notes"},
		{"other case", `{"Title": "a"}`, "line 1, column 2: Title: unknown field"},
		{"twice", "{\"count\": 1,\n\"count\": 2}", "line 2, column 1: count: given twice"},
		{"bare number", "{\"boxes\": [\n{\"mass\": 12}]}", `line 2, column 10: boxes[0].mass: "12" has no unit, accepted is g`},
		{"null", `{"title": null}`, "title: needs a text in quotes, found null"},
		{"null object", `{"extra": null}`, "extra: needs fields in braces, found null"},
		{"list for object", `{"extra": []}`, "extra: needs fields in braces, found a list"},
		{"object for list", `{"boxes": {}}`, "boxes: needs a list in brackets, found fields in braces"},
		{"fraction", `{"count": 2.5}`, "count: needs a whole number of ordinary size, found 2.5"},
		{"huge", `{"count": 99999999999}`, "count: needs a whole number of ordinary size"},
		{"text for number", `{"count": "2"}`, `count: needs a whole number, found the text "2"`},
		{"text for truth", `{"worn": "yes"}`, `worn: needs true or false, found the text "yes"`},
		{"object for text", `{"boxes":[{"mass":{}}]}`, "boxes[0].mass: needs a text in quotes, found fields in braces"},
		{"NaN", `{"count": NaN}`, "line 1, column 11: count: needs a whole number, found NaN"},
		{"early end", `{"count": 1`, "the document ends too early"},
		{"empty", ``, "the document ends too early"},
		{"stray comma", `{"count": 1,}`, "line 1, column 12: a comma too many: take it out"},
		{"after the end", "{}\n{}", "line 2, column 1: text stands after the end of the document"},
		{"bad UTF-8", "{\n\"title\": \"\xff\"}", "line 2, column 11: the text is not valid UTF-8 here"},
		{"too long", `{"title": "` + strings.Repeat("x", strict.MaxBytes) + `"}`, "valid is at most 4194304"},
	} {
		var s shelf
		_, err := strict.Decode([]byte(c.doc), &s)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %q, want it to hold %q", c.name, err, c.want)
		}
		if e := (*strict.Error)(nil); !errors.As(err, &e) {
			t.Errorf("%s: %v holds no place", c.name, err)
		}
	}
}

// Every mistake of a document is named in one run, with its mend, and what follows
// a mistake is still read.
func TestDecodeNamesEveryMistake(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		want      []string
	}{
		{"several fields", "{\"titel\": 1,\n\"count\": 2.5,\n\"boxes\": [{\"mass\": \"3\"}, {\"mas\": {\"a\": [1, 2]}}],\n\"worn\": 1}", []string{
			"line 1, column 2: titel: unknown field", "line 2, column 10: count: needs a whole number", "line 3, column 20: boxes[0].mass: \"3\" has no unit", "line 3, column 27: boxes[1].mas: unknown field", "line 4, column 9: worn: needs true or false, found the number 1"}},
		{"missing comma", "{\"count\": 1\n\"title\": \"a\" \"worn\": true}", []string{"line 2, column 1: a comma is missing before this", "line 2, column 14: a comma is missing before this"}},
		{"extra commas", "{\"count\": 1,, \"boxes\": [{},],}", []string{"column 12: a comma too many", "column 27: boxes: a comma too many", "column 29: a comma too many"}},
		{"curly quotes", "{“title”: “a”}", []string{"column 2: the quote “ is not the straight one: write \"", "title: the quote “ is not"}},
		{"single quotes", "{'title': 'a'}", []string{"column 2: the quote ' is not the straight one", "title: the quote '"}},
		{"semicolons", "{\"count\": 1; \"worn\": 7}", []string{"a semicolon stands where a comma goes", "worn: needs true or false"}},
		{"equals", "{\"count\"= 1}", []string{"count: an equals sign stands where a colon goes"}},
		{"no colon", "{\"count\" 1}", []string{"count: a colon is missing behind the name"}},
		{"no value", "{\"count\":, \"worn\": 1}", []string{"count: a value is missing before ,", "worn: needs true or false"}},
		{"no value at the end", "{\"nothing\":}", []string{"nothing: unknown field", "nothing: a value is missing before }"}},
		{"name without quotes", "{count: 1, worn: 1}", []string{"the name needs quotes: \"count\"", "the name needs quotes: \"worn\"", "worn: needs true or false"}},
		{"value without quotes", "{\"extra\": {\"mass\": 5 g}}", []string{"extra.mass: needs quotes: \"5 g\""}},
		{"text not closed", "{\"title\": \"a,\n\"worn\": 1}", []string{"line 1, column 11: title: the text is not closed on its line", "line 2, column 1: a comma is missing", "worn: needs true"}},
		{"inch mark", "{\"title\": \"3\"\",\n\"worn\": 1}", []string{"title: a quote inside the text ends it: for inches write in", "worn: needs true"}},
		{"tab", "{\"title\": \"a\tb\"}", []string{"title: a tab or control character stands in the text"}},
		{"comment", "{\"count\": 1 // one\n}", []string{"column 13: a comment cannot stand in the file"}},
		{"backslash", "{\"title\": \"a\\q\"}", []string{"title: the backslash in the text begins nothing that JSON knows"}},
		{"wrong close", "{\"boxes\": [{}}}", []string{"boxes: } stands where ] goes"}},
		{"old line ends", "{\"count\": 1,\r\"worn\": 1}", []string{"line 2, column 9: worn"}},
		{"line ends of two characters", "{\"count\": 1,\r\n\"worn\": 1}", []string{"line 2, column 9: worn"}},
		{"UTF-16", "\xff\xfe{\x00}\x00", []string{"the file is UTF-16 text; save it again as UTF-8"}},
		{"UTF-16 without mark", "{\x00}\x00", []string{"the file is UTF-16 text"}},
		{"marks only", "[:]", []string{"needs fields in braces, found a list", "a value is missing before :"}},
		{"what moves a terminal", "{\"count\": \"\u202e\u2028\\u001b[2J\"}", []string{`count: needs a whole number, found the text "\u202e\u2028\x1b[2J"`}},
	} {
		var s shelf
		_, err := strict.Decode([]byte(c.doc), &s)
		if err == nil {
			t.Errorf("%s: not refused", c.name)
			continue
		}
		got := strings.Split(err.Error(), "\n")
		if len(got) != len(c.want) {
			t.Errorf("%s: %d mistakes, want %d:\n%v", c.name, len(got), len(c.want), err)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(got[i], want) {
				t.Errorf("%s: %q, want it to hold %q", c.name, got[i], want)
			}
		}
	}
}

// A list of mistakes ends, and no message is long or moves a cursor, whatever the
// document holds.
func TestMessagesHaveALength(t *testing.T) {
	long := strings.Repeat("\u202ex", 5000)
	for _, doc := range []string{
		`{"` + long + `": 1}`, `{"count": "` + long + `"}`, `{"count": ` + long + `}`, `{"boxes": [` + strings.Repeat("1,", 5000) + `1]}`,
		`{"boxes": [{"mass": "` + long + `"}]}`,
	} {
		var s shelf
		_, err := strict.Decode([]byte(doc), &s)
		if err == nil {
			t.Fatalf("%.20s: not refused", doc)
		}
		lines := strings.Split(err.Error(), "\n")
		for _, l := range lines {
			if len(l) > 1500 || strings.ContainsAny(l, "\u202e\u2028\x1b") {
				t.Errorf("%.20s: message %.100q of %d bytes", doc, l, len(l))
			}
		}
		if len(lines) > 21 {
			t.Errorf("%.20s: %d messages", doc, len(lines))
		}
	}
}

// The list of mistakes gives each with its place, beside what could be read.
func TestDecodeCollects(t *testing.T) {
	var s shelf
	_, err := strict.Decode([]byte("{\n\"count\": true,\n\"boxes\": [{\"mass\": \"3\"}],\n\"worn\": true}"), &s)
	all, ok := err.(interface{ Unwrap() []error })
	if !ok || !s.Worn || len(all.Unwrap()) != 2 {
		t.Fatalf("error %v, read %+v", err, s)
	}
	for i, want := range []strict.Error{{Line: 2, Column: 10, Field: "count"}, {Line: 3, Column: 20, Field: "boxes[0].mass"}} {
		var e *strict.Error
		if !errors.As(all.Unwrap()[i], &e) || e.Line != want.Line || e.Column != want.Column || e.Field != want.Field {
			t.Errorf("mistake %d is %+v", i+1, all.Unwrap()[i])
		}
	}
}

type nest struct {
	In *nest `json:"in"`
}

func TestDecodeLimitsDepth(t *testing.T) {
	doc := strings.Repeat(`{"in":`, 1000) + "{}" + strings.Repeat("}", 1000)
	var n nest
	if _, err := strict.Decode([]byte(doc), &n); err == nil || !strings.Contains(err.Error(), "nested deeper than 32") {
		t.Errorf("error is %v", err)
	}
}

func TestDecodeNeedsAPlace(t *testing.T) {
	for _, v := range []any{nil, shelf{}, (*shelf)(nil)} {
		if _, err := strict.Decode([]byte("{}"), v); err == nil || !strings.Contains(err.Error(), "no place to decode into") {
			t.Errorf("decoding into %T: error is %v", v, err)
		}
	}
}

func FuzzDecode(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add([]byte(`{"boxes":[{"mass":"3 g"}],"notes":{"a":"1 g"},"count":3}`))
	f.Add([]byte("{\"title\": \"\xff\"}"))
	f.Add([]byte(`[[[`))
	f.Fuzz(func(t *testing.T, data []byte) {
		var s shelf
		_, err := strict.Decode(data, &s)
		var at *strict.Error
		if err != nil && (!errors.As(err, &at) || at.Line < 1 || at.Column < 1) {
			t.Errorf("error without a place: %v", err)
		}
	})
}

func ExampleDecode() {
	var engine struct {
		Cylinders int `json:"cylinders"`
	}
	_, err := strict.Decode([]byte("{\n  \"cylinder\": 6\n}"), &engine)
	fmt.Println(err)
	// Output:
	// line 2, column 3: cylinder: unknown field; known here are cylinders
}

// A document of the largest size: the time for each byte is that of a small one.
func BenchmarkDecode(b *testing.B) {
	for _, n := range []int{100, 100_000} {
		doc := []byte(`{"boxes": [` + strings.Repeat("{\"mass\": \"3 g\"},\n", n) + `{}]}`)
		b.Run(fmt.Sprint(len(doc)), func(b *testing.B) {
			b.SetBytes(int64(len(doc)))
			for b.Loop() {
				var s shelf
				if _, err := strict.Decode(doc, &s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
