package main

import (
	"bytes"
	"context"
	"encoding"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// block returns the fenced block of a language in the README.
func block(t *testing.T, language string) string {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(readme), "```"+language+"\n")
	text, _, ok2 := strings.Cut(rest, "```\n")
	if !ok || !ok2 {
		t.Fatalf("the README has no %s block", language)
	}
	return text
}

// The jobs that the README shows run as they stand: the first, of readings alone, ends
// with a sheet, the second finds recipes.
func TestReadmeJob(t *testing.T) {
	common := []string{"FIT", "SET", "CHECK", "What the readings say", "What is wrong", "SETTING AND CHECK SHEET", "Cautions"}
	first := block(t, "json")
	printed(t, first, append(common, "What clamp and slot alone do", "it is not described"))
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(readme), first)
	_, second, ok := strings.Cut(rest, "```json\n")
	second, _, ok2 := strings.Cut(second, "```\n")
	if !ok || !ok2 {
		t.Fatal("the README has no second job")
	}
	printed(t, second, append(common, "The best recipes from the drawer", "1. "))
}

// printed runs a job and looks for words in the print and for its files.
func printed(t *testing.T, text string, words []string) {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "tourer.json")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	if err := run(context.Background(), []string{"-job", file}, &stdout, &stderr); err != nil {
		t.Fatal(err)
	}
	for _, want := range words {
		if !strings.Contains(stdout.String(), want) {
			t.Errorf("the print lacks %q", want)
		}
	}
	if strings.Contains(stdout.String(), "do not agree") {
		t.Error("the README's readings contradict its parts")
	}
	for _, f := range fileList {
		if strings.HasPrefix(f.name, "distributor") && !strings.Contains(text, "pivot_radius") {
			continue // nothing to draw where no mechanism is described
		}
		if info, err := os.Stat(filepath.Join(dir, "tourer-recurved", f.name)); err != nil || info.Size() == 0 {
			t.Errorf("%s: %v", f.name, err)
		}
	}
	if stderr.Len() > 0 {
		t.Errorf("away from a terminal something went to the standard error: %q", stderr.String())
	}
}

// Every field of the job file is named in the README.
func TestReadmeNamesEveryField(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]bool{}
	collect(reflect.TypeFor[job.File](), names)
	for _, name := range slices.Sorted(maps.Keys(names)) {
		if !bytes.Contains(readme, []byte(name)) {
			t.Errorf("the README does not mention %q", name)
		}
	}
}

// collect notes the names of all fields that an object of the job file can have.
func collect(t reflect.Type, names map[string]bool) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		return
	}
	for i := range t.NumField() {
		name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		names[name] = true
		if of := t.Field(i).Type; of.Kind() != reflect.Slice || of.Elem() != t {
			collect(of, names) // a set of weights holds weights
		}
	}
}

// The README shows the program in examples/curve, which is compiled and tested.
func TestReadmeProgram(t *testing.T) {
	program, err := os.ReadFile("../curve/main.go")
	if err != nil {
		t.Fatal(err)
	}
	_, body, ok := strings.Cut(string(program), "\npackage main\n")
	if !ok || "package main\n"+body != block(t, "go") {
		t.Error("the README shows another program than examples/curve/main.go")
	}
}

// What the README and the contributor's guide point to inside the house is there,
// the picture above all.
func TestReadmeLinks(t *testing.T) {
	link := regexp.MustCompile(`\]\(([^)#:]+)\)`)
	found := 0
	for _, page := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(filepath.Join("../..", page))
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllSubmatch(text, -1) {
			found++
			if _, err := os.Stat(filepath.Join("../..", string(m[1]))); err != nil {
				t.Errorf("%s points to %s: %v", page, m[1], err)
			}
		}
	}
	if found < 3 {
		t.Errorf("%d links found, the README alone has more", found)
	}
}
