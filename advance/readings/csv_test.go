package readings_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/iotest"

	"example.org/bobweight/advance/quantity"
	"example.org/bobweight/advance/readings"
	"example.org/bobweight/springs/fuzzing"
	"example.org/bobweight/springs/valid"
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
	want := readings.Row{
		At: quantity.Speed{Value: 1500, Shaft: quantity.Distributor}, Shows: quantity.Angle{Value: 17.25, Shaft: quantity.Distributor},
		Vacuum: 12 * 3386.389, Line: 6,
	}
	if rows[1] != want {
		t.Errorf("got %+v, want %+v", rows[1], want)
	}
}

func TestReadCSVRefuses(t *testing.T) {
	long := "rpm crank,deg crank\n" + strings.Repeat("800,12\n", 2001)
	for _, c := range []struct{ text, want string }{
		{"", "first row"}, {"rpm crank\n", "line 1"}, {"rpm crank,deg crank\n800\n", "line 2"},
		{"rpm crank,deg crank\n800,12\n900,x\n", "line 3, column 5"}, {"rpm crank,deg crank\n8\xff,12\n", "UTF-8"},
		{"rpm crank,deg crank\n800,\"12\n", "line 2"}, {long, "more than"},
	} {
		_, err := readings.ReadCSV(strings.NewReader(c.text))
		if !errors.Is(err, valid.ErrRange) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%.40q: got %v, want %q", c.text, err, c.want)
		}
	}
	broken := errors.New("broken")
	if _, err := readings.ReadCSV(iotest.ErrReader(broken)); !errors.Is(err, broken) || !errors.Is(err, valid.ErrRange) {
		t.Errorf("a reader that fails: got %v", err)
	}
}

// Every mistake of a table is named in one go, with its line, column and mend.
func TestReadCSVMends(t *testing.T) {
	const head = "rpm crank,deg crank\n"
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"several", head + "800,x\n900,13\n-5,1/2\n", []string{"line 2, column 5: ", "line 4, column 1: ", "line 4, column 4: quantity: unreadable value: \"1/2 deg crank\": for the fraction write 0.5"}},
		{"no first row", "800,12\n900,13\n", []string{"line 1: the first row with the units is missing"}},
		{"no units", "speed,timing\n800,12\n", []string{"line 1, column 1: unit \"speed\" of the first row, which names the unit of each column, such as rpm crank,deg crank", "line 1, column 7: unit \"timing\" of the first row"}},
		{"no shaft", "rpm,deg\n800,12\n", []string{"line 1, column 1: unit \"rpm\" of the first row", "line 1, column 5: unit \"deg\" of the first row"}},
		{"words of the trade", "RPM crank,BTDC\n800,12\n", []string{"write rpm", "for degrees before top centre write deg crank"}},
		{"degree sign", "rpm crank,° crank\n", []string{"for the degree sign write deg"}},
		{"semicolons", "rpm crank;deg crank\n800;12,5\n", []string{"parted by semicolons: put commas"}},
		{"semicolons below", head + "800;12\n", []string{"line 2: the row has 1 cells, the first row names 2; the cells are parted by semicolons"}},
		{"tabs", "rpm crank\tdeg crank\n800\t12\n", []string{"parted by tabs: put commas"}},
		{"decimal comma", head + "800,12,5\n", []string{"line 2: the row has 3 cells, the first row names 2; a number has a decimal point"}},
		{"missing comma", head + "800 12\n", []string{"line 2: the row has 1 cells"}},
		{"extra comma", head + "800,12,\n", []string{"line 2: the row has 3 cells"}},
		{"curly quotes", head + "“800”,12\n", []string{"line 2, column 1: \"“800”\": write the number without quotes", "line 2, column 1: "}},
		{"unit in the cell", head + "800 rpm crank,12\n", []string{"the unit stands in the first row already"}},
		{"old line ends", "rpm crank,deg crank\r800,12\r900,x\r", []string{"line 3, column 5: "}},
		{"UTF-16", "\xff\xfer\x00p\x00", []string{"UTF-16 text; save it again as UTF-8"}},
		{"neither yes nor no", "rpm crank,deg crank,falling\n800,12,maybe\n", []string{"line 2, column 8: falling is \"maybe\", valid is yes or no"}},
		{"neither up nor down", "rpm crank,deg crank,sweep\n800,12,yes\n", []string{"line 2, column 8: sweep is \"yes\", valid is up or down"}},
		{"said twice", "rpm crank,deg crank,falling,sweep\n", []string{"line 1, column 29: column \"sweep\" says what an earlier one says"}},
		{"two notes", "rpm crank,deg crank,note,note\n", []string{"line 1, column 26: column \"note\" says"}},
		{"comma in a note", "rpm crank,deg crank,note\n800,12,a, b\n", []string{"a note with a comma stands in straight quotes"}},
		{"what moves a terminal", head + "\x1b[2J\u202e,12\n", []string{"line 2, column 1: "}},
	} {
		_, err := readings.ReadCSV(strings.NewReader(c.text))
		if !errors.Is(err, valid.ErrRange) {
			t.Errorf("%s: error is %v", c.name, err)
			continue
		}
		got := strings.Split(err.Error(), "\n")
		if len(got) != len(c.want) {
			t.Errorf("%s: %d mistakes, want %d:\n%v", c.name, len(got), len(c.want), err)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(got[i], want) || strings.ContainsAny(got[i], "\x1b\u202e") || len(got[i]) > 400 {
				t.Errorf("%s: %q, want it to hold %q", c.name, got[i], want)
			}
		}
	}
	if rows, err := readings.ReadCSV(strings.NewReader("\"rpm crank\" , \"deg crank\"\r\n\"800\", 12\r\n")); err != nil || len(rows) != 1 || rows[0].Line != 2 {
		t.Errorf("straight quotes: %v, error %v", rows, err)
	}
	many := head + strings.Repeat("x,y\n", 400)
	if _, err := readings.ReadCSV(strings.NewReader(many)); strings.Count(err.Error(), "\n") > 22 {
		t.Errorf("%d messages", strings.Count(err.Error(), "\n"))
	}
}

// Falling and note columns stand in any order behind speed and advance; a note may
// hold commas and quotes in the way of RFC 4180.
func TestReadCSVFallingAndNote(t *testing.T) {
	for _, text := range []string{
		"rpm crank,deg crank,inHg,falling,note\n800,12,,no,\n1500,18,,Yes,\"needle jumps, \"\"a lot\"\"\"\n2000,24,10,,“hose” on\n",
		"rpm crank,deg crank,Note,Sweep,inHg\n800,12,,up,\n1500,18,\"needle jumps, \"\"a lot\"\"\" ,down,\n2000,24,“hose” on,,10\n",
	} {
		rows, err := readings.ReadCSV(strings.NewReader(text))
		if err != nil || len(rows) != 3 {
			t.Fatalf("%d rows, error %v", len(rows), err)
		}
		for i, want := range []readings.Row{{}, {Falling: true, Note: `needle jumps, "a lot"`}, {Note: "“hose” on"}} {
			if rows[i].Falling != want.Falling || rows[i].Note != want.Note || (rows[i].Vacuum.SI() > 0) != (i == 2) {
				t.Errorf("row %d is %+v, want %+v", i+1, rows[i], want)
			}
		}
	}
}

func FuzzReadCSV(tf *testing.F) {
	f := fuzzing.New(tf)
	f.Add("rpm crank,deg crank,falling,note\n800,12,yes,\"a, b\"\n900,13,,\"\n")
	f.Add("rpm crank,deg crank,inHg\n800,12,\n# warm\n900,13,12\n")
	f.Add("rpm dist,deg dist\n\"8\n00\",12\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := readings.ReadCSV(strings.NewReader(text))
		if err != nil && !errors.Is(err, valid.ErrRange) {
			t.Errorf("error is %q", err)
		}
		for _, r := range rows {
			if r.At.Shaft == 0 || r.Shows.Shaft == 0 {
				t.Errorf("a reading without a shaft: %+v", r)
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
