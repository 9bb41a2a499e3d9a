package job_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
)

// ofCylinders is a job of readings of the cylinders 1 and 4, the second of which fires by
// so many degrees later.
func ofCylinders(late float64) []byte {
	var rows []string
	for i := range 16 {
		rpm := 650 + 200*float64(i)
		deg := 10 + math.Max(0, math.Min(20, (rpm-1000)*20/1800))
		number := 1 + 3*(i%2)
		if number == 4 {
			deg -= late
		}
		rows = append(rows, fmt.Sprintf(`{"at": "%g rpm crank", "shows": "%.1f deg crank", "cylinder": %d}`, rpm, deg+0.3*math.Sin(7*rpm), number))
	}
	return []byte(`{"title": "two cylinders", "light": {"angle_error": "1 deg crank"}, "readings": [` + strings.Join(rows, ",") + `]}`)
}

// The spread of the cylinders is told, and made a finding where it is more than their
// readings scatter.
func TestCylinders(t *testing.T) {
	t.Parallel()
	for _, late := range []float64{0, 3} {
		r := work(t, ofCylinders(late))
		apart := r.Readings.Cylinders[1] - r.Readings.Cylinders[4]
		if !(math.Abs(apart-late) <= 0.6) {
			t.Errorf("%g deg late: cylinders %v", late, r.Readings.Cylinders)
		}
		found := ""
		for _, f := range r.Findings {
			if f.Code == "cylinders-apart" {
				found = f.Text
			}
		}
		if (late > 0) != strings.Contains(found, "cylinder 1 fires first") {
			t.Errorf("%g deg late: finding %q", late, found)
		}
		var b strings.Builder
		if err := r.Text(&b); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), "cylinder 4 ") {
			t.Errorf("%g deg late: the print tells nothing of the cylinders", late)
		}
	}
	csv := "rpm crank,deg crank,cylinder,note\n700,10,1,\n1500,16,4,warm\n2500,26,,\n3000,30,4,\n"
	j, err := job.Read([]byte(`{"title": "a file", "readings_csv": "r.csv"}`), func(string) ([]byte, error) { return []byte(csv), nil })
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []int{1, 4, 0, 4} {
		if got := j.Readings[i].Cylinder; got != want {
			t.Errorf("row %d: cylinder %d, want %d", i+1, got, want)
		}
	}
	for text, want := range map[string]string{
		"rpm crank,deg crank,cylinder\n700,10,17\n": "cylinder is \"17\", valid is a number from 1 to 16",
	} {
		if _, err := job.Read([]byte(`{"title": "a file", "readings_csv": "r.csv"}`), func(string) ([]byte, error) { return []byte(text), nil }); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %q", text, err, want)
		}
	}
	if _, err := job.Read([]byte(strings.Replace(string(ofCylinders(0)), `"cylinder": 4`, `"cylinder": 20`, 1)), nil); err == nil || !strings.Contains(err.Error(), "cylinder") {
		t.Errorf("cylinder 20: %v", err)
	}
}
