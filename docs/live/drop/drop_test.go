package drop

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
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

func call(t *testing.T, d Drop, progress func(string, float64)) (a Answer, err error) {
	t.Helper()
	in, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	data, err := Call(t.Context(), "job", in, progress)
	if err == nil {
		err = json.Unmarshal(data, &a)
	}
	return a, err
}

// A dropped job gives what the command writes and prints, byte for byte.
func TestDropIsTheCommands(t *testing.T) {
	steps := 0
	got, err := call(t, Drop{Job: string(demo(t))}, func(string, float64) { steps++ })
	if err != nil {
		t.Fatal(err)
	}
	if steps == 0 {
		t.Error("no progress was told")
	}
	folder := t.TempDir()
	command := exec.CommandContext(t.Context(), "go", "run", "./examples/recurve", "-out", folder)
	command.Dir = root
	printed, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"result.json": got.Result, "sheet.txt": got.Sheet, "curves.csv": got.Table, "curve.svg": got.Curve, "distributor.svg": got.Drawing} {
		want, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		if text != string(want) {
			t.Errorf("%s differs from the command's", name)
		}
	}
	if !strings.HasPrefix(string(printed), got.Report) || got.Report == "" {
		t.Error("the report differs from what the command prints")
	}
}

// Readings in a file of their own come with the drop, or are asked for.
func TestReadingsBeside(t *testing.T) {
	withCSV := bytes.Replace(demo(t), []byte(`"light":`), []byte(`"readings_csv": "mine.csv", "light":`), 1)
	from := bytes.Index(withCSV, []byte(`"readings": [`))
	to := from + bytes.Index(withCSV[from:], []byte("],")) + 2
	withCSV = append(append([]byte{}, withCSV[:from]...), withCSV[to:]...)
	d := Drop{Job: string(withCSV)}
	if _, err := call(t, d, nil); err == nil || !strings.Contains(err.Error(), `drop "mine.csv" together`) {
		t.Errorf("a missing file of readings: %v", err)
	}
	d.Files = map[string]string{"mine.csv": "rpm crank,deg crank\n800,10\n"}
	a, err := call(t, d, nil)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(a.Report, "readings: at least 3") && !strings.Contains(a.Report, "readings (at least 3") {
		t.Error("one reading, too few for a fit: no more are asked for")
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct{ name, in string }{{"job", `{"job": "{"}`}, {"job", "["}, {"open", "{}"}} {
		if _, err := Call(t.Context(), c.name, []byte(c.in), nil); !errors.Is(err, ErrJob) {
			t.Errorf("%s %s: %v", c.name, c.in, err)
		}
	}
}
