package job_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var regen = flag.Bool("regen", false, "write the golden reports anew: read them before you commit")

// Ten engines of our own, each with a state that once went wrong: the whole print of
// each report is kept. The jobs are invented, drawn from the mechanism with the light's
// errors; the reports were read line by line.
func TestGoldenReports(t *testing.T) {
	t.Parallel()
	names, err := filepath.Glob("testdata/reports/*.json")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d jobs: %v", len(names), err)
	}
	if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".json"), func(t *testing.T) {
			var b strings.Builder
			if err := run(t, file(t, name)).Text(&b); err != nil {
				t.Fatal(err)
			}
			golden := strings.TrimSuffix(name, ".json") + "_golden.txt"
			if *regen {
				if err := os.WriteFile(golden, []byte(b.String()), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if d := cmp.Diff(string(file(t, golden)), b.String()); d != "" {
				t.Error(d)
			}
		})
	}
}

// The first screen holds fit, set and check within 24 lines of 80 columns, whatever the
// job.
func TestFirstScreen(t *testing.T) {
	t.Parallel()
	names, err := filepath.Glob("testdata/reports/*_golden.txt")
	if err != nil || len(names) < 10 {
		t.Fatalf("%d reports: %v", len(names), err)
	}
	for _, name := range names {
		text := string(file(t, name))
		screen, _, ok := strings.Cut(text, "\nWhat is wrong\n")
		if n := strings.Count(screen, "\n"); !ok || n > 24 {
			t.Errorf("%s: what is wrong begins on line %d", name, n)
		}
		for line := range strings.SplitSeq(screen, "\n") {
			if len(line) > 80 {
				t.Errorf("%s: %q is longer than a screen is wide", name, line)
			}
		}
		if !strings.Contains(screen, "SET ") && !strings.Contains(screen, "! ") {
			t.Errorf("%s: neither what to set nor why not: %s", name, screen)
		}
	}
}
