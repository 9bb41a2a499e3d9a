package readings_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/readings"
)

// A row knows its line, comments and blank lines counted.
func TestReadCSVLines(t *testing.T) {
	rows, err := readings.ReadCSV(strings.NewReader("\ufeff# light\nrpm dist,deg dist,inHg\n\n400,6,\n# warm\n1500, 17.25, 12\n"))
	if err != nil || len(rows) != 2 {
		t.Fatalf("%d rows, error %v", len(rows), err)
	}
	if rows[0].Line != 4 || rows[1].Line != 6 {
		t.Errorf("lines %d and %d, want 4 and 6", rows[0].Line, rows[1].Line)
	}
	r, err := rows[1].Reading(advance.FourStroke)
	if err != nil || r.RPM != 3000 || r.Degrees != 34.5 || !r.HoseOn {
		t.Errorf("got %+v, error %v", r, err)
	}
	rows[0].At.Value = 1e9
	if _, err := rows[0].Reading(advance.FourStroke); !errors.Is(err, readings.ErrRange) {
		t.Errorf("too fast: got %v", err)
	}
}

func TestReadCSVRefuses(t *testing.T) {
	long := "rpm crank,deg crank\n" + strings.Repeat("800,12\n", readings.MaxReadings+1)
	for _, c := range []struct{ text, want string }{
		{"", "first row"}, {"rpm crank\n", "line 1"}, {"rpm crank,deg crank\n800\n", "line 2"},
		{"rpm crank,deg crank\n800,12\n900,x\n", "line 3, column 5"}, {"rpm crank,deg crank\n8\xff,12\n", "UTF-8"},
		{"rpm crank,deg crank\n800,\"12\n", "line 2"}, {long, "more than"},
	} {
		_, err := readings.ReadCSV(strings.NewReader(c.text))
		if !errors.Is(err, readings.ErrCSV) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.40q: got %v, want %q", c.text, err, c.want)
		}
	}
	broken := errors.New("broken")
	if _, err := readings.ReadCSV(iotest.ErrReader(broken)); !errors.Is(err, broken) || !errors.Is(err, readings.ErrCSV) {
		t.Errorf("a reader that fails: got %v", err)
	}
}

func FuzzReadCSV(f *testing.F) {
	f.Add("rpm crank,deg crank,inHg\n800,12,\n# warm\n900,13,12\n")
	f.Add("rpm dist,deg dist\n\"8\n00\",12\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := readings.ReadCSV(strings.NewReader(text))
		if err != nil && !errors.Is(err, readings.ErrCSV) {
			t.Errorf("error is %q", err)
		}
		for _, r := range rows {
			if r.At.Shaft == 0 || r.Shows.Shaft == 0 {
				t.Errorf("a reading without a shaft: %+v", r)
			}
			if o, err := r.Reading(advance.FourStroke); err == nil && o.Check() != nil {
				t.Errorf("%+v: %v", o, o.Check())
			}
		}
	})
}

func ExampleReadCSV() {
	rows, err := readings.ReadCSV(strings.NewReader("rpm crank,deg crank\n800,11\n3000,34.5\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range rows {
		fmt.Printf("%v shows %v\n", r.At, r.Shows)
	}
	// Output:
	// 800 rpm crank shows 11 deg crank
	// 3000 rpm crank shows 34.5 deg crank
}
