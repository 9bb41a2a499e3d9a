package build_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/bobweight/docs/internal/build"
)

// write puts a site into a folder.
func write(path string, s build.Site) error {
	f, err := build.Folder(path)
	if err != nil {
		return err
	}
	defer f.Close()
	return s.Write(f)
}

// A site takes the place of an earlier one, leftovers included, and a file that came
// into the folder in between is never deleted.
func TestWrite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "site")
	for _, s := range []build.Site{{"index.html": []byte("a"), "old/page.html": []byte("a")}, {"index.html": []byte("b")}} {
		if err := write(path, s); err != nil {
			t.Fatal(err)
		}
	}
	if data, err := os.ReadFile(filepath.Join(path, "index.html")); err != nil || string(data) != "b" {
		t.Errorf("the new page holds %q, error %v", data, err)
	}
	if _, err := os.Stat(filepath.Join(path, "old")); err == nil {
		t.Error("a page of the earlier site is left")
	}
	notes := filepath.Join(path, "notes.txt")
	if err := os.WriteFile(notes, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := write(path, build.Site{"index.html": []byte("c")}); err == nil || !strings.Contains(err.Error(), "notes.txt") {
		t.Errorf("error is %v", err)
	}
	for name, want := range map[string]string{"notes.txt": "mine", "index.html": "b"} {
		if data, err := os.ReadFile(filepath.Join(path, name)); err != nil || string(data) != want {
			t.Errorf("%s holds %q, error %v", name, data, err)
		}
	}
}
