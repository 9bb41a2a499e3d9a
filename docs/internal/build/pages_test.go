package build

import (
	"bytes"
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

// The program on the page for programmers compiles as printed there, by the commands
// printed there, and prints what the page says.
func TestEmbedAsPrinted(t *testing.T) {
	blocks := codeBlock.FindAllSubmatch(site(t)["embed.html"], -1)
	if len(blocks) < 3 {
		t.Fatalf("the page has %d blocks of code", len(blocks))
	}
	var text [3]string // program, what it prints, commands
	for i := range text {
		text[i] = html.UnescapeString(string(blocks[i][1]))
	}
	top, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "main.go"), []byte(text[0]), 0o600); err != nil {
		t.Fatal(err)
	}
	commands := strings.Split(strings.TrimSpace(text[2]), "\n")
	var out []byte
	for _, line := range commands {
		if !strings.HasPrefix(line, "go ") {
			t.Fatalf("%q is no go command", line)
		}
		words := strings.Fields(strings.ReplaceAll(line, "=../bobweight", "="+top))
		run := exec.CommandContext(t.Context(), words[0], words[1:]...)
		run.Dir = folder
		var problems bytes.Buffer
		run.Stderr = &problems
		if out, err = run.Output(); err != nil {
			t.Fatalf("%s: %v\n%s", line, err, problems.Bytes())
		}
	}
	if string(out) != text[1] {
		t.Errorf("it prints\n%s\nthe page says\n%s", out, text[1])
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
		if r.Kind == corpus.Published || r.Kind == corpus.Measured {
			published++
		}
	}
	rows := 0
	for name, page := range site(t) {
		if filepath.Dir(name) != "checked" {
			continue
		}
		for _, table := range strings.Split(string(page), "<table")[1:] {
			table, _, _ = strings.Cut(table, "</table>")
			head, body, _ := strings.Cut(table, "</thead>")
			if strings.Contains(head, "computed") { // not one of the tables of counts
				rows += strings.Count(body, "<tr>")
			}
		}
	}
	if rows != published || published == 0 {
		t.Errorf("the tables have %d rows for %d published values", rows, published)
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

// Every package of physics or mathematics has a page of theory, and every such page
// has equations, symbols with their units and sources.
func TestTheory(t *testing.T) {
	s := site(t)
	overview := string(s["theory/index.html"])
	rows := strings.Split(overview, "<dt>")[1:]
	for _, row := range rows {
		if !strings.Contains(row, "theory: ") && !strings.Contains(row, "examples-") {
			t.Errorf("a package has no page of theory: %s", row)
		}
	}
	if len(rows) < 18 {
		t.Errorf("the overview lists %d packages", len(rows))
	}
	pages := 0
	for name, data := range s {
		if filepath.Dir(name) != "theory" || name == "theory/index.html" {
			continue
		}
		pages++
		for _, part := range []string{"<math", `id="symbols"`, `id="sources"`, "<th>unit</th>"} {
			if !strings.Contains(string(data), part) {
				t.Errorf("%s lacks %s", name, part)
			}
		}
	}
	if pages < 13 {
		t.Errorf("there are %d pages of theory", pages)
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
