package fuzzing_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
)

// module is the path before every package of the library.
const module = "example.org/bobweight/"

// library is where the library's folders stand, seen from here.
const library = "../.."

// nameOf returns the package and the name of a listed function or type.
func nameOf(listed any) string {
	if t, ok := listed.(reflect.Type); ok {
		name, _, _ := strings.Cut(t.Name(), "[")
		return strings.TrimPrefix(t.PkgPath(), module) + "." + name
	}
	name := strings.TrimPrefix(runtime.FuncForPC(reflect.ValueOf(listed).Pointer()).Name(), module)
	name, _, _ = strings.Cut(name, "[")
	return name
}

// exported returns the functions and types that the library's packages export, as
// their source has them.
func exported(t *testing.T) []string {
	t.Helper()
	var names []string
	for _, top := range []string{"springs", "flyweights", "vacuum", "knock", "advance"} {
		err := filepath.WalkDir(filepath.Join(library, top), func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && (d.Name() == "internal" || d.Name() == "testdata"):
				return filepath.SkipDir
			case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
				return nil
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			folder, err := filepath.Rel(library, filepath.Dir(path))
			for _, name := range declared(file) {
				names = append(names, filepath.ToSlash(folder)+"."+name)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return names
}

// declared returns the exported functions and types of a file.
func declared(file *ast.File) []string {
	var names []string
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil && d.Name.IsExported() {
				names = append(names, d.Name.Name)
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if s, ok := s.(*ast.TypeSpec); ok && s.Name.IsExported() && !s.Assign.IsValid() { // an alias has a name of its own only
					names = append(names, s.Name.Name)
				}
			}
		}
	}
	return names
}

// A new function or type of the library stands in the list, so that the next test calls
// it; what has gone from the library is gone from the list.
func TestEveryExportedNameIsListed(t *testing.T) {
	source, lists := map[string]bool{}, map[string]bool{}
	for _, name := range exported(t) {
		source[name] = true
	}
	for _, l := range listed {
		lists[nameOf(l)] = true
	}
	for _, name := range slices.Sorted(maps.Keys(source)) {
		if !lists[name] && notCalled[name] == "" {
			t.Errorf("%s is exported and not listed", name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(lists)) {
		if !source[name] {
			t.Errorf("%s is listed and not exported", name)
		}
	}
	called := map[string]bool{}
	for _, f := range callables() {
		called[f.name] = true
	}
	for name := range passes {
		if !called[name] {
			t.Errorf("%s passes what is no number, and is no function", name)
		}
	}
	for name := range everySo {
		if !called[name] {
			t.Errorf("%s is a long call, and is no function", name)
		}
	}
	for name, why := range notCalled {
		if !source[name] || why == "" {
			t.Errorf("%s is no exported function without a call: %q", name, why)
		}
	}
}
