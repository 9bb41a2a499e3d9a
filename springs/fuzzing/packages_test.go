package fuzzing_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// drivenFrom names the folder whose fuzzer drives a package that has none of its own.
var drivenFrom = map[string]string{
	"flyweights/internal/plane": "flyweights",
	"flyweights/internal/flank": "flyweights/linkages",
	"knock/internal/properties": "knock",
	"knock/internal/unchecked":  "knock",
	"examples/recurve/results":  "docs/live/answer",
	"examples/recurve/plots":    "docs/live/drop",
	"examples/recurve/drawing":  "docs/live/drop",
	"examples/internal/figure":  "docs/live/drop",
}

// notDriven are the packages that take nothing from outside, with the reason.
var notDriven = map[string]string{
	"examples/internal/figure/golden": "compares pictures within tests",
	"examples/internal/pair":          "returns one mechanism",
	"flyweights/internal/random":      "draws mechanisms within tests",
	"flyweights/internal/reference":   "reads a committed file within tests",
	"docs/internal/apiref":            "reads the checkout's sources when the site is built",
	"docs/internal/jobref":            "reads the checkout's job file when the site is built",
	"docs/internal/licence":           "reads the modules' licences when the site is built",
	"docs/internal/study":             "runs the checkout's studies when the site is built",
	"docs/internal/build":             "reads the checkout and writes the site, by package save",
	"docs/live/port":                  "a browser's messages, handed to the entry points of docs/live",
}

// folder is what stands in one package's folder.
type folder struct {
	functions int // exported, methods too
	fuzzers   []string
	imports   map[string]bool // folders of this project, those of its tests too
}

var fuzzer = regexp.MustCompile(`^Fuzz[A-Z]`)

// Every package with exported functions has a fuzzer, or its callers' fuzzer reaches it,
// or it takes nothing from outside. With -v the test prints which is which.
func TestEveryPackageHasItsFuzzer(t *testing.T) {
	all := folders(t)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		f := all[name]
		from, driven := drivenFrom[name]
		why, free := notDriven[name]
		switch {
		case f.functions == 0 && (driven || free):
			t.Errorf("%s exports no function", name)
		case f.functions == 0:
		case len(f.fuzzers) > 0 && !driven && !free:
			t.Logf("%-34s %s", name, strings.Join(f.fuzzers, " "))
		case driven && !free && all[from] != nil && len(all[from].fuzzers) > 0 && reaches(all, from, name, map[string]bool{}):
			t.Logf("%-34s %s of %s", name, strings.Join(all[from].fuzzers, " "), from)
		case free && !driven && why != "" && len(f.fuzzers) == 0:
			t.Logf("%-34s none: %s", name, why)
		default:
			t.Errorf("%s: no fuzzer drives it", name)
		}
	}
	for name := range drivenFrom {
		if all[name] == nil {
			t.Errorf("%s is no package", name)
		}
	}
	for name := range notDriven {
		if all[name] == nil {
			t.Errorf("%s is no package", name)
		}
	}
}

// reaches reports whether a package imports another, by way of others too.
func reaches(all map[string]*folder, from, to string, seen map[string]bool) bool {
	if from == to {
		return true
	}
	if seen[from] || all[from] == nil {
		return false
	}
	seen[from] = true
	for next := range all[from].imports {
		if reaches(all, next, to, seen) {
			return true
		}
	}
	return false
}

// folders reads every folder with sources of a package that can be imported, the site's
// too.
func folders(t *testing.T) map[string]*folder {
	t.Helper()
	all := map[string]*folder{}
	err := filepath.WalkDir(library, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || path != library && strings.HasPrefix(d.Name(), ".")):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go"):
			return nil
		}
		name, err := filepath.Rel(library, filepath.Dir(path))
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil || file.Name.Name == "main" {
			return err
		}
		name = filepath.ToSlash(name)
		f := all[name]
		if f == nil {
			f = &folder{imports: map[string]bool{}}
			all[name] = f
		}
		for _, i := range file.Imports {
			if to, err := strconv.Unquote(i.Path.Value); err == nil && strings.HasPrefix(to, module) {
				f.imports[strings.TrimPrefix(to, module)] = true
			}
		}
		for _, d := range file.Decls {
			fn, ok := d.(*ast.FuncDecl)
			switch test := strings.HasSuffix(path, "_test.go"); {
			case !ok:
			case test && fuzzer.MatchString(fn.Name.Name):
				f.fuzzers = append(f.fuzzers, fn.Name.Name)
			case !test && fn.Name.IsExported():
				f.functions++
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}
