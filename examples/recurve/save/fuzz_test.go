package save_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"example.org/bobweight/examples/recurve/save"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever names the files have, a folder of results comes whole or not at all, and
// nothing outside it is touched; so with files that are added to a folder.
func FuzzFiles(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, name := range []string{"a.txt", "in/b.txt", "../up.txt", "/etc/abs", "", ".", "a/../../b", "in/", "nul\x00", "\u202etxt.exe", ".out-unfinished-7", "C:\\x", "letter.txt"} {
		f.Add(name, "a.txt", []byte("text"))
		f.Add("a.txt/b", name, []byte(nil))
	}
	// The disk is one of memory where there is one: every file is synced.
	shared, err := os.MkdirTemp(memory(), "save")
	if err != nil {
		tf.Fatal(err)
	}
	tf.Cleanup(func() { os.RemoveAll(shared) })
	f.Fuzz(func(t *testing.T, one, two string, data []byte) {
		dir, err := os.MkdirTemp(shared, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		put(t, filepath.Join(dir, "letter.txt"), "dear")
		files := map[string][]byte{one: data, two: []byte("second")}
		out := filepath.Join(dir, "out")
		if f, err := save.Open(out, save.Options{}); err != nil {
			t.Error(err)
		} else {
			saved := f.Save(files)
			if err := f.Close(); err != nil {
				t.Error(err)
			}
			whole(t, out, files, saved)
		}
		added := filepath.Join(dir, "added")
		if err := os.Mkdir(added, 0o755); err != nil {
			t.Fatal(err)
		}
		whole(t, added, files, save.Files(added, files))
		if entries, err := os.ReadDir(dir); err != nil || len(entries) > 3 {
			t.Errorf("in the folder around are %v, error %v", entries, err)
		}
		if text, err := os.ReadFile(filepath.Join(dir, "letter.txt")); err != nil || string(text) != "dear" {
			t.Errorf("the letter is %q, error %v", text, err)
		}
	})
}

func memory() string {
	if _, err := os.Stat("/dev/shm"); err == nil {
		return "/dev/shm"
	}
	return ""
}

// whole fails where a folder holds some of the files, or where the error says other.
func whole(t *testing.T, folder string, files map[string][]byte, saved error) {
	t.Helper()
	if saved != nil {
		if entries, err := os.ReadDir(folder); err == nil && len(entries) > 0 {
			t.Errorf("refused (%v), yet there are %v", saved, entries)
		}
		return
	}
	for name, data := range files {
		if text, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name))); err != nil || !bytes.Equal(text, data) {
			t.Errorf("%q is %.40q, error %v", name, text, err)
		}
	}
}
