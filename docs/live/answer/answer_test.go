package answer

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/live"
)

const root = "../../.."

func call(t *testing.T, q Request, progress live.Progress) (a Answer) {
	t.Helper()
	in, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	data, err := Call(t.Context(), in, progress)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &a); err != nil {
		t.Fatal(err)
	}
	return a
}

func text(t *testing.T, path ...string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(append([]string{root}, path...)...))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// The bench gives what the command writes and prints, byte for byte.
func TestAnswerIsTheCommands(t *testing.T) {
	steps := 0
	var first []job.Report
	got := call(t, Request{Job: text(t, "examples", "recurve", "demo.json")}, func(_ string, _ float64, answered []byte) {
		if answered == nil {
			steps++
			return
		}
		var r job.Report
		if err := json.Unmarshal(answered, &r); err != nil {
			t.Error(err)
		}
		first = append(first, r)
	})
	if steps == 0 {
		t.Error("no progress was told")
	}
	var whole job.Report
	if err := json.Unmarshal([]byte(got.Result), &whole); err != nil {
		t.Fatal(err)
	}
	if len(first) != 1 {
		t.Fatalf("the answer was handed over %d times before the whole report", len(first))
	}
	if !reflect.DeepEqual(whole.Answer, first[0].Answer) || !reflect.DeepEqual(whole.Curves, first[0].Curves) || !reflect.DeepEqual(whole.Sheet, first[0].Sheet) {
		t.Errorf("answer, curves or sheet changed after they were handed over:\n%+v\n%+v", first[0].Answer, whole.Answer)
	}
	folder := t.TempDir()
	command := exec.CommandContext(t.Context(), "go", "run", "./examples/recurve", "-out", folder)
	command.Dir = root
	printed, err := command.Output()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"result.json": got.Result, "sheet.txt": got.Sheet, "curves.csv": got.Table} {
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
	if got.Shape == nil || len(got.Shape.Weights) != 2 || len(got.Shape.Cam) < 10 {
		t.Errorf("the mechanism's shape is %+v", got.Shape)
	}
}

// Three readings and nothing else are answered: what to set and check where they show
// the stop, what to read next where they do not.
func TestThreeReadings(t *testing.T) {
	for _, c := range []struct {
		fastest string
		set     bool
	}{{"34", true}, {"44", false}} {
		a := call(t, Request{Job: `{"readings": [
			{"at": "700 rpm crank", "shows": "10 deg crank"},
			{"at": "2800 rpm crank", "shows": "34 deg crank"},
			{"at": "3600 rpm crank", "shows": "` + c.fastest + ` deg crank"}]}`}, nil)
		var r job.Report
		if err := json.Unmarshal([]byte(a.Result), &r); err != nil {
			t.Fatal(err)
		}
		if got := r.Answer; len(a.Faults) > 0 || (got.Set != "") != c.set || len(got.Check) == 0 || !c.set && (got.Forbids == "" || !strings.Contains(strings.Join(got.Check, " "), "reading")) {
			t.Errorf("up to %s deg: %v, %+v", c.fastest, a.Faults, got)
		}
		if a.Shape != nil {
			t.Error("a mechanism that nobody described has a shape")
		}
	}
}

// Every fault comes with its field, in the library's words.
func TestFaults(t *testing.T) {
	for _, c := range []struct {
		job   string
		files map[string]string
		want  []Fault
	}{
		{job: `{"engine": {"bore": "88"}, "readings": [{"at": "800 rpm crank", "shows": "6 deg"}], "nonsense": 1}`, want: []Fault{
			{Line: 1, Field: "engine.bore", Text: `"88" has no unit`}, {Line: 1, Field: "readings[0].shows", Text: "does not say on which shaft"}, {Line: 1, Field: "nonsense", Text: "unknown field"}}},
		{job: `{"engine": {"idle": "30 rpm crank"}, "readings": [{"at": "800 rpm crank", "shows": "200 deg crank"}]}`, want: []Fault{
			{Line: 1, Field: "engine.idle", Text: "is 30 rpm crank; valid is 300 to 2000 rpm crank"}, {Line: 1, Field: "readings[0].shows", Text: "valid is -30 to 90"}}},
		{job: `{"distributor": {"cam_table": [["1 deg dist", "x"]]}}`, want: []Fault{{Line: 1, Field: "distributor.cam_table[0][1]", Text: "x"}}},
		{job: `{`, want: []Fault{{Line: 1, Text: "ends too early"}}},
		{job: `{"readings_csv": "mine.csv"}`, want: []Fault{{Line: 1, Field: "readings_csv", Text: `open "mine.csv" together`}}},
		{job: `{"readings_csv": "mine.csv"}`, files: map[string]string{"mine.csv": "rpm crank,deg crank\n800,ten\n"}, want: []Fault{{Text: "mine.csv"}}},
	} {
		got := call(t, Request{Job: c.job, Files: c.files}, nil).Faults
		if len(got) != len(c.want) {
			t.Errorf("%s: %+v", c.job, got)
			continue
		}
		for i, w := range c.want {
			if w.Line != 0 && got[i].Line != w.Line || w.Field != "" && got[i].Field != w.Field || !strings.Contains(got[i].Text, w.Text) {
				t.Errorf("%s: %+v, want %+v", c.job, got[i], w)
			}
		}
	}
}

func TestRefused(t *testing.T) {
	if _, err := Call(t.Context(), bytes.TrimSpace([]byte("[")), nil); !errors.Is(err, ErrAnswer) {
		t.Errorf("no request: %v", err)
	}
}
