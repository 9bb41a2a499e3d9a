package save_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/examples/recurve/save"
)

// result is what the tests save; own tells its files.
func result(text string) map[string][]byte {
	return map[string][]byte{"a.txt": []byte(text), "in/b.txt": []byte(text)}
}

func own(name string) bool { return name == "a.txt" || name == "in/b.txt" }

// holds fails unless the folder holds the files and no other.
func holds(t *testing.T, folder string, files map[string][]byte) {
	t.Helper()
	left := map[string]bool{}
	for name := range files {
		left[name] = true
	}
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, _ := filepath.Rel(folder, path)
		data, err := os.ReadFile(path)
		if want, ok := files[filepath.ToSlash(name)]; err != nil || !ok || !bytes.Equal(data, want) {
			t.Errorf("%s holds %.20q, want %.20q, error %v", path, data, want, err)
		}
		delete(left, filepath.ToSlash(name))
		return nil
	})
	if err != nil || len(left) > 0 {
		t.Errorf("%s lacks %v, error %v", folder, left, err)
	}
}

// only fails unless the folder holds just these entries, hidden ones counted.
func only(t *testing.T, folder string, names ...string) {
	t.Helper()
	var got []string
	entries, err := os.ReadDir(folder)
	for _, e := range entries {
		got = append(got, e.Name())
	}
	slices.Sort(names)
	if err != nil || !slices.Equal(got, names) {
		t.Errorf("%s holds %q, want %q, error %v", folder, got, names, err)
	}
}

func put(t *testing.T, path, text string) {
	t.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, []byte(text), 0o644)); err != nil {
		t.Fatal(err)
	}
}

func TestSave(t *testing.T) {
	for name, prepare := range map[string]func(string){
		"new":   func(string) {},
		"empty": func(path string) { os.MkdirAll(path, 0o755) },
		"replaced": func(path string) {
			put(t, filepath.Join(path, "a.txt"), "old")
			os.MkdirAll(filepath.Join(path, "in"), 0o755)
		},
	} {
		dir := t.TempDir()
		path := filepath.Join(dir, "deep", "out")
		prepare(path)
		f, err := save.Open(path, save.Options{Own: own, Replace: true})
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if err := f.Save(result("new")); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if err := f.Close(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		holds(t, path, result("new"))
		only(t, filepath.Dir(path), "out")
	}
}

// A run that ends without saving leaves nothing, and what was there stays.
func TestCloseWithoutSave(t *testing.T) {
	dir := t.TempDir()
	f, err := save.Open(filepath.Join(dir, "out"), save.Options{Own: own})
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Close(), f.Close()); err != nil {
		t.Error(err)
	}
	only(t, dir)
	put(t, filepath.Join(dir, "out", "a.txt"), "old")
	f, err = save.Open(filepath.Join(dir, "out"), save.Options{Own: own, Replace: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	only(t, dir, "out")
	holds(t, filepath.Join(dir, "out"), map[string][]byte{"a.txt": []byte("old")})
}

func TestOpenRefuses(t *testing.T) {
	for _, c := range []struct {
		name, want string
		prepare    func(path string) save.Options
	}{
		{"a file", "is a file or a link", func(path string) save.Options { put(t, path, ""); return save.Options{} }},
		{"a link to a folder", "is a file or a link", func(path string) save.Options {
			os.Mkdir(path+"-real", 0o755)
			os.Symlink(path+"-real", path)
			return save.Options{}
		}},
		{"below a file", "not a directory", func(path string) save.Options { put(t, filepath.Dir(path), ""); return save.Options{} }},
		{"result that exists", "a.txt exists; ask before", func(path string) save.Options {
			put(t, path+"/a.txt", "old")
			return save.Options{Own: own, Advice: "; ask before"}
		}},
		{"another's file", "holds notes.txt, which is no result", func(path string) save.Options {
			put(t, path+"/notes.txt", "mine")
			return save.Options{Own: own, Replace: true}
		}},
		{"name of a part file", "holds a.txt.part, which is no result", func(path string) save.Options {
			put(t, path+"/a.txt.part", "mine")
			return save.Options{Own: own, Replace: true}
		}},
		{"a link under a result's name", "holds a.txt, which is no result", func(path string) save.Options {
			put(t, path+"-target", "mine")
			os.Mkdir(path, 0o755)
			os.Symlink(path+"-target", path+"/a.txt")
			return save.Options{Own: own, Replace: true}
		}},
		{"what was read", "holds a.txt, which was read", func(path string) save.Options {
			put(t, path+"/a.txt", "mine")
			return save.Options{Own: own, Replace: true, Read: []string{path + "/./a.txt"}}
		}},
		{"another name of what was read", "holds a.txt, which was read", func(path string) save.Options {
			put(t, path+"/a.txt", "mine")
			os.Mkdir(path+"/in", 0o755)
			os.Link(path+"/a.txt", path+"-elsewhere")
			return save.Options{Own: own, Replace: true, Read: []string{path + "-elsewhere"}}
		}},
		{"a name that moves the terminal", `no\u202eise`, func(path string) save.Options {
			put(t, path+"/no\u202eise", "mine")
			return save.Options{Own: own, Replace: true}
		}},
	} {
		path := filepath.Join(t.TempDir(), "d", "out")
		if c.name != "below a file" {
			if err := os.Mkdir(filepath.Dir(path), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		o := c.prepare(path)
		before := tree(t, filepath.Dir(filepath.Dir(path)))
		f, err := save.Open(path, o)
		if !errors.Is(err, save.ErrFolder) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error is %v, want it to hold %q", c.name, err, c.want)
		}
		if err == nil {
			f.Close()
		}
		if after := tree(t, filepath.Dir(filepath.Dir(path))); after != before {
			t.Errorf("%s: the folder was\n%s\nand is\n%s", c.name, before, after)
		}
	}
}

// tree lists paths and contents.
func tree(t *testing.T, folder string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		data, _ := os.ReadFile(path)
		fmt.Fprintf(&b, "%s %q\n", path, data)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// What came into the folder while the program ran is not thrown away.
func TestSomethingComesMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	f, err := save.Open(path, save.Options{Own: own, Replace: true})
	if err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(path, "notes.txt"), "mine")
	if err := f.Save(result("new")); err == nil || !strings.Contains(err.Error(), "notes.txt") {
		t.Errorf("error is %v", err)
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	holds(t, path, map[string][]byte{"notes.txt": []byte("mine")})
	only(t, dir, "out")
}

func TestSaveStaysInside(t *testing.T) {
	dir := t.TempDir()
	f, err := save.Open(filepath.Join(dir, "out"), save.Options{Own: own})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, name := range []string{"../a.txt", "/a.txt", ""} {
		if err := f.Save(map[string][]byte{name: nil}); !errors.Is(err, save.ErrFolder) {
			t.Errorf("%q: error is %v", name, err)
		}
	}
}

func TestFiles(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	put(t, filepath.Join(dir, "notes.txt"), "mine")
	put(t, filepath.Join(dir, "a.txt"), "old")
	put(t, filepath.Join(dir, "target"), "mine")
	if err := os.Symlink(filepath.Join(dir, "target"), filepath.Join(dir, "b.txt")); err != nil {
		t.Fatal(err)
	}
	if err := save.Files(dir, map[string][]byte{"a.txt": []byte("new"), "b.txt": []byte("new")}); err != nil {
		t.Fatal(err)
	}
	holds(t, dir, map[string][]byte{"notes.txt": []byte("mine"), "a.txt": []byte("new"), "b.txt": []byte("new"), "target": []byte("mine")})
	only(t, dir, "a.txt", "b.txt", "notes.txt", "target")
	for _, name := range []string{"../a.txt", "in/a.txt", "", ".", ".."} {
		if err := save.Files(dir, map[string][]byte{name: nil, "a.txt": []byte("newer")}); !errors.Is(err, save.ErrFolder) {
			t.Errorf("%q: error is %v", name, err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "c.txt"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := save.Files(dir, map[string][]byte{"a.txt": []byte("newer"), "c.txt": nil}); err == nil || !strings.Contains(err.Error(), "c.txt is a folder") {
		t.Errorf("error is %v", err)
	}
	if data, _ := os.ReadFile(filepath.Join(dir, "a.txt")); string(data) != "new" {
		t.Error("one of two files was written though the other could not be")
	}
}

// Programs that add files to one folder at a time take only those folders away in which
// nobody works: every file of every one comes.
func TestFilesOfManyAtATime(t *testing.T) {
	dir := t.TempDir()
	const programs, rounds = 8, 20
	failed := make(chan error, programs)
	for p := range programs {
		go func() {
			var err error
			for r := range rounds {
				err = errors.Join(err, save.Files(dir, map[string][]byte{fmt.Sprintf("%d-%d.txt", p, r): []byte("whole")}))
			}
			failed <- err
		}()
	}
	for range programs {
		if err := <-failed; err != nil {
			t.Error(err)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != programs*rounds {
		t.Errorf("%d entries, want %d, error %v", len(entries), programs*rounds, err)
	}
}
