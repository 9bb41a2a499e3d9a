package job_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/flyweights"
)

// beside is an opener that knows one file.
func beside(text string) func(string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		if name != "light.csv" {
			return nil, errors.New("no such file")
		}
		return []byte(text), nil
	}
}

// Falling and note columns of a CSV file reach the readings and the report.
func TestReadingsFileFallingAndNote(t *testing.T) {
	t.Parallel()
	const rows = "rpm crank,deg crank,falling,note\n800,12,,\n1500,18,yes,\"needle jumps, read twice\"\n3000,35,no,\n"
	for text, label := range map[string]string{
		`{"title": "a file of readings", "readings_csv": "light.csv"}`:                               "",
		`{"title": "a file of readings", "runs": [{"label": "found", "readings_csv": "light.csv"}]}`: "found, ",
	} {
		j, err := job.Read([]byte(text), beside(rows))
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range j.Readings {
			if (r.Direction == flyweights.Falling) != (i == 1) {
				t.Errorf("reading %d: %+v", i+1, r)
			}
		}
		r, err := j.Run(t.Context(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if want := []string{label + "1500 rpm crank, 18 deg crank: needle jumps, read twice"}; !slices.Equal(r.Notes, want) {
			t.Errorf("notes %q, want %q", r.Notes, want)
		}
		var b strings.Builder
		if err := r.Text(&b); err != nil || !strings.Contains(b.String(), "needle jumps, read twice") {
			t.Errorf("the print lacks the note, error %v", err)
		}
	}
}

// Every fault of a CSV file names the file and its line, those of its text and those
// of what it means.
func TestReadingsFileFaults(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		rows string
		want []string
	}{
		{"rpm crank,deg crank,falling\n800,x,\n1500,18,maybe\n", []string{"light.csv: readings file: line 2, column 5", "light.csv: readings file: line 3, column 9"}},
		{"rpm crank,deg crank,note\n20,12,\n1500,95,\n1600,19," + strings.Repeat("long ", 50) + "\n",
			[]string{"light.csv: line 2: readings_csv[0].at", "light.csv: line 3: readings_csv[1].shows", "light.csv: line 4: readings_csv[2].note"}},
	} {
		_, err := job.Read([]byte(`{"title": "a file of readings", "readings_csv": "light.csv"}`), beside(c.rows))
		if !errors.Is(err, job.ErrJob) {
			t.Fatalf("error is %v", err)
		}
		got := strings.Split(err.Error(), "\n")
		if len(got) != len(c.want) {
			t.Errorf("%d faults, want %d: %v", len(got), len(c.want), err)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(got[i], want) {
				t.Errorf("%q does not hold %q", got[i], want)
			}
		}
	}
}
