package strict_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/bobweight/advance/strict"
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
		{"null object", `{"extra": null}`, "extra: needs an object in braces, found null"},
		{"list for object", `{"extra": []}`, "extra: needs an object in braces, found a list"},
		{"object for list", `{"boxes": {}}`, "boxes: needs a list in brackets, found an object"},
		{"fraction", `{"count": 2.5}`, "count: needs a whole number of ordinary size, found 2.5"},
		{"huge", `{"count": 99999999999}`, "count: needs a whole number of ordinary size"},
		{"text for number", `{"count": "2"}`, `count: needs a whole number, found the text "2"`},
		{"text for truth", `{"worn": "yes"}`, `worn: needs true or false, found the text "yes"`},
		{"object for text", `{"boxes":[{"mass":{}}]}`, "boxes[0].mass: needs a text in quotes, found an object"},
		{"NaN", `{"count": NaN}`, "line 1, column 11: count: not JSON"},
		{"early end", `{"count": 1`, "the document ends too early"},
		{"empty", ``, "the document ends too early"},
		{"stray comma", `{"count": 1,}`, "not JSON"},
		{"after the end", "{}\n{}", "line 2, column 1: text stands after the end of the document"},
		{"bad UTF-8", "{\n\"title\": \"\xff\"}", "line 2, column 11: the text is not valid UTF-8 here"},
		{"too long", `{"title": "` + strings.Repeat("x", strict.MaxBytes) + `"}`, "valid is at most 4194304"},
	} {
		var s shelf
		_, err := strict.Decode([]byte(c.doc), &s)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %q, want it to hold %q", c.name, err, c.want)
		}
		if !errors.Is(err, strict.ErrSyntax) {
			t.Errorf("%s: %v does not wrap ErrSyntax", c.name, err)
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
		if _, err := strict.Decode([]byte("{}"), v); !errors.Is(err, strict.ErrSyntax) {
			t.Errorf("decoding into %T: error is %v", v, err)
		}
	}
}

func FuzzDecode(f *testing.F) {
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
