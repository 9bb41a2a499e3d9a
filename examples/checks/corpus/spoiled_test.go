package corpus

import (
	"errors"
	"strings"
	"testing"
	"testing/fstest"

	"example.org/bobweight/springs/valid"
)

// sound is a corpus file that is as it should be; the tests spoil it by
// replacing a piece.
const sound = `{
  "source": {
    "author": "A. Author",
    "title": "A Book",
    "seen": "the library"
  },
  "cases": [
    {
      "id": "a-1",
      "calculation": "unit factor",
      "kind": "published",
      "locator": "p. 1",
      "provenance": "read",
      "confidence": "high",
      "given": {"value": "1 lbf/in"},
      "find": {"SI": "175.1268 N/m"}
    },
    {
      "id": "a-2",
      "calculation": "unit factor",
      "kind": "reference",
      "method": "by hand",
      "locator": "p. 2",
      "provenance": "from memory",
      "confidence": "low",
      "given": {"value": "1200 g"},
      "find": {"SI": "1200 g"},
      "tolerance": {"SI": {"within": "1 %", "because": "a reason"}}
    }
  ]
}
`

func load(text string) ([]*File, error) {
	return Load(fstest.MapFS{"corpus/book.json": {Data: []byte(text)}}, "corpus")
}

// TestSpoiledCorpus spoils a sound file in every way that is to be noticed and
// checks that the error names file, line and what is wrong.
func TestSpoiledCorpus(t *testing.T) {
	if _, err := load(sound); err != nil {
		t.Fatalf("the sound file is refused: %v", err)
	}
	for _, c := range []struct {
		name, from, to string
		line, says     string
	}{
		{"unknown field of a file", `"cases": [`, `"extra": "x", "cases": [`, "line 7", "unknown field"},
		{"unknown field of a source", `"title":`, `"titel":`, "line 4", "unknown field"},
		{"unknown field of a case", `"locator": "p. 1"`, `"locater": "p. 1"`, "line 12", "unknown field"},
		{"unknown field of a tolerance", `"within"`, `"witin"`, "line 28", "unknown field"},
		{"field given twice", `"locator": "p. 1",`, `"locator": "p. 1", "locator": "p. 2",`, "line 12", "twice"},
		{"given twice", `{"value": "1 lbf/in"}`, `{"value": "1 lbf/in", "value": "1 N"}`, "line 15", "twice"},
		{"no author", `"author": "A. Author",`, ``, "line 2", "author"},
		{"no title", `"title": "A Book",`, ``, "line 2", "title"},
		{"no id", `"id": "a-1",`, ``, "line 8", "id is missing"},
		{"no calculation", `"calculation": "unit factor",
      "kind": "published",`, `"kind": "published",`, "line 8", "calculation is missing"},
		{"no locator", `"locator": "p. 1",`, ``, "line 8", "locator is missing"},
		{"blank locator", `"locator": "p. 1"`, `"locator": " "`, "line 8", "locator is missing"},
		{"no find", `"find": {"SI": "175.1268 N/m"}`, `"note": "x"`, "line 8", "find is missing"},
		{"doubled id", `"id": "a-2"`, `"id": "a-1"`, "line 19", "taken by book.json line 8"},
		{"unknown calculation", `"calculation": "unit factor",
      "kind": "published"`, `"calculation": "unit factory",
      "kind": "published"`, "line 10", "no calculation"},
		{"unknown kind", `"kind": "published"`, `"kind": "printed"`, "line 11", "none of"},
		{"no kind", `"kind": "published",`, ``, "line 8", "none of"},
		{"unknown provenance", `"provenance": "read"`, `"provenance": "sure"`, "line 13", "none of"},
		{"published without source", `"provenance": "read"`, `"provenance": "common practice"`, "line 13", "does not go with"},
		{"published by ourselves", `"provenance": "read"`, `"provenance": "own"`, "line 13", "does not go with"},
		{"practice that was read", `"kind": "published"`, `"kind": "practice"`, "line 13", "does not go with"},
		{"no confidence", `"confidence": "high",`, ``, "line 8", "none of"},
		{"read nowhere", `"seen": "the library"`, `"note": "x"`, "line 8", "says where"},
		{"recalled but seen", `"confidence": "low"`, `"confidence": "low", "seen": "x"`, "line 25", "not seen"},
		{"reference without method", `"method": "by hand",`, ``, "line 18", "method"},
		{"published with method", `"locator": "p. 1"`, `"locator": "p. 1", "method": "x"`, "line 12", "method"},
		{"refusal without words", `"kind": "published"`, `"kind": "refusal"`, "line 8", "words of its message"},
		{"refusal with a find", `"kind": "published"`, `"kind": "refusal", "refused": "x"`, "line 16", "finds nothing"},
		{"given without unit", `"1 lbf/in"`, `"1"`, "line 15", "no unit"},
		{"given as a bare number", `"1 lbf/in"`, `1`, "line 15", "no unit"},
		{"given in unknown unit", `"1 lbf/in"`, `"1 lbs/in"`, "line 15", "not known"},
		{"given empty", `"1 lbf/in"`, `""`, "line 15", "neither"},
		{"given null", `"1 lbf/in"`, `null`, "line 15", "found null"},
		{"find without unit", `"175.1268 N/m"`, `"175.1268"`, "line 16", "no unit"},
		{"find as a bare number", `"175.1268 N/m"`, `175.1268`, "line 16", "needs a text"},
		{"find as words", `"175.1268 N/m"`, `"about 175 N/m"`, "line 16", "number"},
		{"tolerance without reason", `, "because": "a reason"`, ``, "line 27", "reason"},
		{"tolerance without unit", `"1 %"`, `"1"`, "line 27", "no unit"},
		{"tolerance of another kind", `"1 %"`, `"1 mm"`, "line 27", "kind"},
		{"tolerance of no find", `"tolerance": {"SI"`, `"tolerance": {"IS"`, "line 28", "of no find"},
		{"erratum of no find", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.1268 N/m"}, "erratum": {"IS": "x"}`, "line 16", "of no find"},
		{"erratum without words", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.1268 N/m"}, "erratum": {"SI": " "}`, "line 16", "does not say"},
		{"rounding of a range", `"find": {"SI": "175.1268 N/m"}`, `"range": {"SI": {"from": "1 N/m", "to": "2 N/m"}}, "rounding": {"SI": "1 N/m"}`, "line 16", "of no find"},
		{"find and range", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.1268 N/m"}, "range": {"SI": {"from": "1 N/m", "to": "2 N/m"}}`, "line 16", "is a find too"},
		{"falling range", `"find": {"SI": "175.1268 N/m"}`, `"range": {"SI": {"from": "2 N/m", "to": "1 N/m"}}`, "line 16", "does not rise"},
		{"text after the end", "  ]\n}\n", "  ]\n}\n{}", "line 32", "after the end"},
		{"cut off", "  ]\n}\n", "  ]", "line 30", "too early"},
		{"bad UTF-8", "A Book", "A B\xffok", "line 4", "UTF-8"},
		{"no cases", sound[strings.Index(sound, `"cases"`):], `"cases": []}`, "line 7", "there are none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if n := strings.Count(sound, c.from); n < 1 {
				t.Fatalf("the sound file does not hold %q", c.from)
			}
			_, err := load(strings.Replace(sound, c.from, c.to, 1))
			if !errors.Is(err, ErrCorpus) {
				t.Fatalf("got error %v, want one that wraps %q", err, ErrCorpus)
			}
			for _, want := range []string{"book.json", c.line, c.says} {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("the message %q does not hold %q", err, want)
				}
			}
		})
	}
	_, err := Load(fstest.MapFS{
		"corpus/book.json":  {Data: []byte(sound)},
		"corpus/again.json": {Data: []byte(strings.ReplaceAll(sound, `"a-`, `"b-`))},
	}, "corpus")
	if !errors.Is(err, ErrCorpus) || !strings.Contains(err.Error(), "A. Author, A Book has its file: again.json") {
		t.Errorf("one source in two files: got error %v", err)
	}
	if _, err := Load(fstest.MapFS{}, "corpus"); !errors.Is(err, ErrCorpus) {
		t.Errorf("an empty folder: got error %v, want one that wraps %q", err, ErrCorpus)
	}
}

// TestSpoiledRuns checks that a run notices what reading cannot.
func TestSpoiledRuns(t *testing.T) {
	echo := func(g *Given) (Found, error) { return Found{"SI": g.Any("value")}, nil }
	known := map[string]calculation{"unit factor": {"unit factor", "", echo}}
	for _, c := range []struct {
		name, from, to string
		says           string // "" where nothing is wrong
	}{
		{"sound", "a-1", "a-1", ""},
		{"wrong value", "175.1268", "175.1269", "DIFFERS"},
		{"known wrong value", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.2 N/m"}, "erratum": {"SI": "slip of the pen"}`, ""},
		{"erratum that agrees", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.1268 N/m"}, "erratum": {"SI": "slip of the pen"}`, "IN SPITE OF THE ERRATUM"},
		{"range", `"find": {"SI": "175.1268 N/m"}`, `"range": {"SI": {"from": "175 N/m", "to": "176 N/m"}}`, ""},
		{"outside a range", `"find": {"SI": "175.1268 N/m"}`, `"range": {"SI": {"from": "176 N/m", "to": "177 N/m"}}`, "DIFFERS"},
		{"find of another name", `"find": {"SI"`, `"find": {"rate"`, "the calculation finds SI"},
		{"find of another dimension", "175.1268 N/m", "175.1268 N", "published in"},
		{"given that is not used", `{"value": "1 lbf/in"}`, `{"value": "1 lbf/in", "valve": "2 N"}`, `"valve" is not used`},
		{"list that is not used", `"find": {"SI": "175.1268 N/m"}`, `"find": {"SI": "175.1268 N/m"}, "lists": {"x": ["1 N"]}`, `"x" is not used`},
		{"given that is missing", `{"value": "1 lbf/in"}`, `{"valve": "1 lbf/in"}`, `"value" is missing`},
		{"given that is a word", `"1 lbf/in"`, `"stiff"`, "is a word"},
		{"refusal that does not come", `"kind": "published"`, `"kind": "refusal", "refused": "out of range"`, "was not refused"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(sound, c.from, c.to, 1)
			if strings.Contains(c.to, "refusal") {
				text = strings.Replace(text, `"find": {"SI": "175.1268 N/m"}`, `"note": "x"`, 1)
			}
			files, err := load(text)
			if err != nil {
				t.Fatal(err)
			}
			bad := strings.Join(runWith(known, nil, files, Settings{}).Bad(), "\n")
			if c.says == "" && bad != "" || c.says != "" && !(strings.Contains(bad, c.says) && strings.Contains(bad, "book.json:8: case a-1")) {
				t.Errorf("the run reports %q, want it to say %q", bad, c.says)
			}
		})
	}

	files, err := load(sound)
	if err != nil {
		t.Fatal(err)
	}
	known["lonely"] = calculation{"lonely", "", echo}
	bad := strings.Join(runWith(known, []string{"doubled"}, files, Settings{}).Bad(), "\n")
	for _, want := range []string{`"lonely": no case reaches it`, `"doubled" is registered twice`} {
		if !strings.Contains(bad, want) {
			t.Errorf("the run reports %q, want it to say %q", bad, want)
		}
	}
	delete(known, "lonely")
	bad = strings.Join(runWith(known, nil, files, Settings{Exact: true}).Bad(), "\n")
	if !strings.Contains(bad, "case a-1") || strings.Contains(bad, "case a-2") {
		t.Errorf("with all tolerances zero the run reports %q, want a-1 alone", bad)
	}
	delete(known, "unit factor")
	if bad := runWith(known, nil, files, Settings{}).Bad(); len(bad) != 2 {
		t.Errorf("without its calculation the run reports %q, want both cases", bad)
	}

	known["unit factor"] = calculation{"unit factor", "", func(*Given) (Found, error) { return nil, valid.ErrRange }}
	files, err = load(strings.Replace(strings.Replace(sound, `"kind": "published"`, `"kind": "refusal", "refused": "out of range"`, 1),
		`"find": {"SI": "175.1268 N/m"}`, `"note": "x"`, 1))
	if err != nil {
		t.Fatal(err)
	}
	known["unit factor"] = calculation{"unit factor", "", func(g *Given) (Found, error) { g.Any("value"); return nil, valid.ErrRange }}
	report := runWith(known, nil, files, Settings{})
	if report.Rows[0].Outcome != Agrees || report.Rows[1].Outcome != Broken {
		t.Errorf("a refusal that comes is %q and an error where a value is wanted is %q", report.Rows[0].Outcome, report.Rows[1].Outcome)
	}
}
