package study

import (
	"bytes"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every program under examples is a study with a comment, a title and code, and
// at least the main one draws.
func TestRun(t *testing.T) {
	list, err := Run(t.Context(), "../../..")
	if err != nil {
		t.Fatal(err)
	}
	drawn := map[string]int{}
	for _, s := range list {
		if s.Doc == "" || len(s.Code) == 0 || s.Title() == "" {
			t.Errorf("%s has no comment or no code", s.Name)
		}
		for _, p := range s.Plots {
			drawn[s.Name]++
			if !bytes.HasPrefix(p.SVG, []byte("<?xml")) || !bytes.HasPrefix(p.PNG, []byte("\x89PNG")) {
				t.Errorf("%s of %s is no picture", p.Name, s.Name)
			}
		}
	}
	if drawn["recurve"] != 3 {
		t.Errorf("recurve draws %d plots", drawn["recurve"])
	}
}

var figureIn = regexp.MustCompile(`\d+(\.\d+)?`)

// Every study says what it found, no finding belongs to a study that is gone, and each
// figure of a finding stands in the study.
func TestFindings(t *testing.T) {
	folders, err := filepath.Glob("../../../examples/*/main.go")
	if err != nil || len(folders) == 0 {
		t.Fatal("no studies", err)
	}
	known := map[string]bool{}
	for _, f := range folders {
		name := filepath.Base(filepath.Dir(f))
		known[name] = true
		s, err := read(filepath.Dir(f), name)
		if err != nil {
			t.Fatal(err)
		}
		found, ok := findings[name]
		if !ok {
			t.Errorf("%s does not say what it found", name)
		}
		text := s.Doc
		for _, c := range s.Code {
			text += c.Text
		}
		for _, number := range figureIn.FindAllString(found.Sentence+found.Title, -1) {
			if !strings.Contains(text, number) {
				t.Errorf("%s: %s does not stand in the study", name, number)
			}
		}
	}
	for name := range findings {
		if !known[name] {
			t.Errorf("there is no study %s", name)
		}
	}
}
