package save_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// writes are the functions of package os that make, change or remove files.
var writes = []string{"WriteFile", "Create", "CreateTemp", "OpenFile", "OpenRoot", "CopyFS", "Mkdir", "MkdirAll", "MkdirTemp", "Rename", "Remove", "RemoveAll", "Truncate", "Link", "Symlink", "Chmod"}

// scratch are the files whose programs make a folder of their own among the system's
// temporary ones, and remove it: what is built there is read and never shown.
var scratch = []string{"docs/internal/build/engine.go", "docs/internal/study/study.go"}

// Every program saves by this package: the studies by figure.Main, the whole job and the
// site by Open. Nothing else in the tree writes, renames or removes a file.
func TestProgramsSaveByThisPackageOnly(t *testing.T) {
	const root = "../../.."
	out := map[string]bool{}  // programs with a folder to write to
	kept := map[string]bool{} // those of them that save by this package
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || path != root && strings.HasPrefix(d.Name(), ".") || filepath.ToSlash(path) == root+"/examples/recurve/save"):
			return filepath.SkipDir
		case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		program := ""
		if file.Name.Name == "main" {
			program = filepath.ToSlash(filepath.Dir(name))
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if s, ok := n.(*ast.BasicLit); ok && program != "" && s.Value == `"out"` {
				out[program] = true
			}
			s, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			of, ok := s.X.(*ast.Ident)
			if !ok {
				return true
			}
			switch of.Name + "." + s.Sel.Name {
			case "figure.Main":
				out[program], kept[program] = true, true
			case "save.Open", "build.Folder":
				kept[program] = true
			}
			if of.Name == "os" && slices.Contains(writes, s.Sel.Name) && !slices.Contains(scratch, name) {
				t.Errorf("%s: os.%s, which is for package save to call", name, s.Sel.Name)
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for program := range out {
		if !kept[program] {
			t.Errorf("%s writes to a folder, and not by package save", program)
		}
	}
	if len(out) < 16 {
		t.Errorf("%d programs with a folder to write to: %v", len(out), out)
	}
}
