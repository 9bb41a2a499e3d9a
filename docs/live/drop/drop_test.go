package drop

import (
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

const root = "../../.."

func demo(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, "examples", "recurve", "demo.json"))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// A job's pictures are what the command draws, byte for byte.
func TestPicturesAreTheCommands(t *testing.T) {
	folder := t.TempDir()
	command := exec.CommandContext(t.Context(), "go", "run", "./examples/recurve", "-out", folder)
	command.Dir = root
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	written := func(name string) string {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	in, err := json.Marshal(Drop{Job: string(demo(t)), Result: written("result.json")})
	if err != nil {
		t.Fatal(err)
	}
	data, err := Call(t.Context(), "pictures", in, nil)
	if err != nil {
		t.Fatal(err)
	}
	var got Pictures
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"curve.svg": got.Curve, "distributor.svg": got.Drawing, "measuring-form.svg": got.Form} {
		if text != written(name) {
			t.Errorf("%s differs from the command's", name)
		}
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct{ name, in string }{{"pictures", `{"job": "{"}`}, {"pictures", `{"job": "{}", "result": "["}`}, {"pictures", "["}, {"open", "{}"}} {
		if _, err := Call(t.Context(), c.name, []byte(c.in), nil); !errors.Is(err, ErrDrop) {
			t.Errorf("%s %s: %v", c.name, c.in, err)
		}
	}
}
