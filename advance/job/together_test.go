package job_test

import (
	"errors"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/strict"
)

// Mistakes of writing and of meaning are told in one run, in the order of the file, and
// none of them because of another.
func TestAllMistakesInOneRun(t *testing.T) {
	t.Parallel()
	text := []byte(`{
  "title": "spoiled",
  "engine": {
    "bore": "900 mm",
    "stroke": "80",
    "idle": "4000 rpm crank",,
    "top": "3000 rpm crank"
  }
  "distributor": {"pivot_radius": "1 m", "slot": {"length": "4 mm", "pin": "5 mm", "radius": 19}},
  "readings": [
    {"at": "800 rpm", "shows": "8 deg crank"},
    {"at": "99000 rpm crank", "shows": "9 deg crank"}
  ],
  "target": {"total": "34 deg crank", "all_in": ["2600 rpm crank", "2000 rpm crank"]},
}`)
	_, err := job.Read(text, nil)
	if err == nil {
		t.Fatal("not refused")
	}
	lines := strings.Split(err.Error(), "\n")
	want := []string{
		"line 4: engine.bore: is 900 mm", "line 5, column", "line 6: engine.idle: is 4000 rpm", "line 6, column", "a comma is missing",
		"distributor.pivot_radius: is 1000 mm", "distributor.slot.radius", "readings[0].at", "readings[1].at: is 99000 rpm",
		"target.all_in: runs from", "comma",
	}
	for _, w := range want {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("%q is not told in\n%v", w, err)
		}
	}
	for i, l := range lines {
		if !strings.HasPrefix(l, "job: line ") {
			t.Errorf("line %d: %q", i+1, l)
		}
	}
	if len(lines) != len(want) {
		t.Errorf("%d mistakes told, %d made:\n%v", len(lines), len(want), err)
	}
	if e := (*strict.Error)(nil); !errors.Is(err, job.ErrJob) || !errors.As(err, &e) {
		t.Error("neither the job nor its writing is blamed")
	}
}
