package figure

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func one() ([]Figure, error) { return []Figure{{"line", New("title", "x", "y")}}, nil }

func TestMainWritesBothFormats(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	var out, problems bytes.Buffer
	if code := Main([]string{"-out", dir}, &out, &problems, one); code != 0 {
		t.Fatalf("exit %d: %s", code, problems.String())
	}
	for name, begin := range map[string]string{"line.svg": "<?xml", "line.png": "\x89PNG"} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil || !strings.HasPrefix(string(b), begin) {
			t.Errorf("%s: error %v", name, err)
		}
		if !strings.Contains(out.String(), name) {
			t.Errorf("%s is not named in %q", name, out.String())
		}
	}
}

func TestMainRefuses(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	never := func() ([]Figure, error) {
		t.Error("a study that cannot be saved is computed")
		return nil, nil
	}
	wrong := func() ([]Figure, error) { return nil, errors.New("cannot draw") }
	for _, c := range []struct {
		args []string
		draw func() ([]Figure, error)
		code int
		says string
	}{
		{[]string{"-nonsense"}, one, 2, "nonsense"},
		{[]string{"stray"}, one, 2, "stray"},
		{[]string{"-out", file}, never, 1, "file"},
		{[]string{"-out", t.TempDir()}, wrong, 1, "cannot draw"},
	} {
		var out, problems bytes.Buffer
		if code := Main(c.args, &out, &problems, c.draw); code != c.code || !strings.Contains(problems.String(), c.says) {
			t.Errorf("%v: exit %d, %q", c.args, code, problems.String())
		}
	}
}
