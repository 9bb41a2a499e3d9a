package build

import (
	"encoding/json"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"example.org/bobweight/examples/checks/corpus"
	"example.org/bobweight/testdata"
)

var codeBlock = regexp.MustCompile(`(?s)<pre[^>]*><code[^>]*>(.*?)</code></pre>`)

// The program on the page for programmers compiles as printed there and prints
// what the page says.
func TestEmbedAsPrinted(t *testing.T) {
	blocks := codeBlock.FindAllSubmatch(site(t)["embed.html"], -1)
	if len(blocks) < 2 {
		t.Fatalf("the page has %d blocks of code", len(blocks))
	}
	program, prints := html.UnescapeString(string(blocks[0][1])), html.UnescapeString(string(blocks[1][1]))
	top, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	sums, err := os.ReadFile(filepath.Join(top, "go.sum"))
	if err != nil {
		t.Fatal(err)
	}
	library, err := os.ReadFile(filepath.Join(top, "go.mod"))
	if err != nil {
		t.Fatal(err)
	}
	module := strings.Replace(string(library), "module example.org/bobweight", "module yours", 1) +
		"\nrequire example.org/bobweight v0.0.0\nreplace example.org/bobweight => " + top + "\n"
	for name, text := range map[string]string{"main.go": program, "go.mod": module, "go.sum": string(sums)} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	run := exec.CommandContext(t.Context(), "go", "run", "-mod=mod", ".")
	run.Dir = folder
	run.Env = append(os.Environ(), "GOFLAGS=-mod=mod")
	out, err := run.CombinedOutput()
	if err != nil {
		t.Fatalf("the program as printed: %v\n%s", err, out)
	}
	if string(out) != prints {
		t.Errorf("it prints\n%s\nthe page says\n%s", out, prints)
	}
}

// The table of checks holds every published value of the corpus.
func TestCheckedIsWhole(t *testing.T) {
	files, err := corpus.Load(testdata.Corpus, "corpus")
	if err != nil {
		t.Fatal(err)
	}
	published := 0
	for _, r := range corpus.Run(files, corpus.Settings{}).Rows {
		if r.Kind == corpus.Published {
			published++
		}
	}
	page := string(site(t)["checked.html"])
	table, _, _ := strings.Cut(page, `id="all-kinds-of-case"`)
	if rows := strings.Count(table, "<tr>") - strings.Count(table, "<thead>"); rows != published || published == 0 {
		t.Errorf("the table has %d rows for %d published values", rows, published)
	}
}

// The schema that the site offers is JSON, and the demo beside it the command's.
func TestReferenceFiles(t *testing.T) {
	s := site(t)
	var schema map[string]any
	if err := json.Unmarshal(s["reference/job.schema.json"], &schema); err != nil {
		t.Error(err)
	}
	want, err := os.ReadFile(filepath.Join(root, "examples", "recurve", "demo.json"))
	if err != nil {
		t.Fatal(err)
	}
	if string(s["reference/demo.json"]) != string(want) {
		t.Error("the demo job differs from the command's")
	}
}

// Every physics package has its page of theory with equations and sources.
func TestTheory(t *testing.T) {
	s := site(t)
	for _, name := range []string{"springs", "flyweights", "bodies", "motion", "vacuum", "advance", "readings", "recipes", "mapping", "knock", "gas", "quantity"} {
		text := string(s["theory/"+name+".html"])
		if !strings.Contains(text, "<math") || !strings.Contains(text, `id="sources"`) {
			t.Errorf("theory/%s.html has no equation or no sources", name)
		}
	}
}

// Every study shows its code, and its plot if it draws one.
func TestStudies(t *testing.T) {
	s := site(t)
	folders, err := filepath.Glob(filepath.Join(root, "examples", "*", "main.go"))
	if err != nil || len(folders) == 0 {
		t.Fatal("no studies", err)
	}
	for _, f := range folders {
		name := filepath.Base(filepath.Dir(f))
		text := string(s["studies/"+name+".html"])
		if !strings.Contains(text, `id="code"`) || !strings.Contains(text, "package main") {
			t.Errorf("studies/%s.html does not show its code", name)
		}
	}
	if !strings.Contains(string(s["studies/recurve.html"]), `<img src="../studies/recurve/curve.svg"`) {
		t.Error("the study recurve shows no plot")
	}
}

// What readers see is text, not the marks that it is made with.
func TestNoMarksLeft(t *testing.T) {
	for name, data := range site(t) {
		if filepath.Ext(name) != ".html" {
			continue
		}
		text := codeBlock.ReplaceAllString(string(data), "")
		for _, mark := range []string{"{{", "$$", "&lt;p&gt;", "TODO"} {
			if strings.Contains(text, mark) {
				t.Errorf("%s holds %q", name, mark)
			}
		}
		if strings.ContainsFunc(text, func(r rune) bool { return unicode.Is(unicode.Co, r) }) {
			t.Errorf("%s holds a mark for an equation", name)
		}
	}
}
