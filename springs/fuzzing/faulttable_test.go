package fuzzing_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every test that the contributor's guide names beside a fault is there, in the folder
// that it names; those of the pages are scripts.
func TestFaultTable(t *testing.T) {
	guide, err := os.ReadFile(library + "/DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, table, _ := strings.Cut(string(guide), "## Faults, what the program does")
	table, _, _ = strings.Cut(table, "\n## ")
	rows, tests := 0, 0
	for line := range strings.SplitSeq(table, "\n") {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || strings.HasPrefix(cells[1], "---") || strings.TrimSpace(cells[3]) == "test" {
			continue
		}
		rows++
		folder, named := "", false
		for _, word := range regexp.MustCompile("`[^`]+`|(Test|Fuzz|Benchmark)[A-Z][A-Za-z]*|[a-z]+\\.mjs").FindAllString(cells[3], -1) {
			if strings.HasPrefix(word, "`") {
				folder = strings.Trim(word, "`")
				continue
			}
			tests, named = tests+1, true
			if !holds(t, folder, word) {
				t.Errorf("%s: %s holds no %s", strings.TrimSpace(cells[1]), folder, word)
			}
		}
		if !named {
			t.Errorf("%s: no test is named", strings.TrimSpace(cells[1]))
		}
	}
	if rows < 25 || tests < 45 {
		t.Errorf("the table has %d rows with %d tests", rows, tests)
	}
}

// holds reports whether a folder has a test, a benchmark or a script of this name.
func holds(t *testing.T, folder, test string) bool {
	t.Helper()
	if strings.HasSuffix(test, ".mjs") {
		_, err := os.Stat(filepath.Join(library, filepath.FromSlash(folder), test))
		return err == nil
	}
	files, err := filepath.Glob(filepath.Join(library, filepath.FromSlash(folder), "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(text), "\nfunc "+test+"(") {
			return true
		}
	}
	return false
}
