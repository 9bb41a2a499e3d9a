package save

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// broken is a file on a device that fails after so many bytes, or when asked to keep
// them, or at the end.
type broken struct {
	output
	left        *int // bytes until it fails
	sync, close bool
}

func (b broken) Write(data []byte) (int, error) {
	n := min(len(data), *b.left)
	*b.left -= n
	written, err := b.output.Write(data[:n])
	if err == nil && n < len(data) {
		err = syscall.EIO
	}
	return written, err
}

func (b broken) Sync() error {
	if err := b.output.Sync(); err != nil || !b.sync {
		return err
	}
	return syscall.EIO
}

func (b broken) Close() error {
	if err := b.output.Close(); err != nil || !b.close {
		return err
	}
	return syscall.EIO
}

// tree is every file below a folder with what it holds.
func tree(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		all[strings.TrimPrefix(path, folder)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// An input or output error at any byte, at the sync or at the close of any file leaves
// the folder as it was: earlier results whole, or none.
func TestErrorAtEveryByte(t *testing.T) {
	whole := create
	defer func() { create = whole }()
	files := map[string][]byte{"a.txt": []byte("the first"), "in/b.txt": []byte("and the second")}
	size := 0
	for _, data := range files {
		size += len(data)
	}
	options := Options{Own: func(name string) bool { return files[name] != nil }, Replace: true}
	save := func(path string, fail func(output) output) error {
		create = whole
		f, err := Open(path, options)
		if err != nil {
			t.Fatal(err)
		}
		create = func(path string) (output, error) {
			file, err := whole(path)
			return fail(file), err
		}
		return errors.Join(f.Save(files), f.Close())
	}
	for _, earlier := range []bool{false, true} {
		dir := t.TempDir()
		path := filepath.Join(dir, "out")
		if earlier {
			if err := os.MkdirAll(path, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(path, "a.txt"), []byte("old"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		before := tree(t, dir)
		check := func(what string, err error) {
			t.Helper()
			if !errors.Is(err, syscall.EIO) {
				t.Errorf("%s: error %v", what, err)
			}
			after := tree(t, dir)
			if len(after) != len(before) || after["/out/a.txt"] != before["/out/a.txt"] {
				t.Errorf("%s: %v, before %v", what, after, before)
			}
		}
		for n := range size {
			left := n
			check("after some bytes", save(path, func(f output) output { return broken{output: f, left: &left} }))
		}
		enough := size
		check("at the sync", save(path, func(f output) output { return broken{output: f, left: &enough, sync: true} }))
		enough = size
		check("at the close", save(path, func(f output) output { return broken{output: f, left: &enough, close: true} }))
		if err := save(path, func(f output) output { return f }); err != nil || len(tree(t, dir)) != len(files) {
			t.Errorf("on a sound device: %v, %v", err, tree(t, dir))
		}
	}
}

// A run that is killed between the two steps of its swap has moved the earlier results
// aside: the next run finds them in their place.
func TestKilledInsideTheSwap(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	for name, text := range map[string]string{".out-unfinished-17/a.txt": "new", ".out-unfinished-17-old/a.txt": "old"} {
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(text), 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	own := func(name string) bool { return name == "a.txt" }
	if _, err := Open(path, Options{Own: own}); !errors.Is(err, ErrFolder) {
		t.Errorf("earlier results are there and may not be replaced: error %v", err)
	}
	if text, err := os.ReadFile(filepath.Join(path, "a.txt")); err != nil || string(text) != "old" {
		t.Fatalf("back in place is %q, error %v", text, err)
	}
	f, err := Open(path, Options{Own: own, Replace: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(f.Save(map[string][]byte{"a.txt": []byte("newest")}), f.Close()); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(filepath.Join(path, "a.txt")); err != nil || string(text) != "newest" {
		t.Errorf("in place is %q, error %v", text, err)
	}
}
