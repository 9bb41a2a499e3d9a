package readings

import (
	"bytes"
	"encoding"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/bobweight/advance"
	"example.org/bobweight/advance/quantity"
)

// ErrCSV is wrapped by every error of [ReadCSV].
var ErrCSV = errors.New("readings file")

// Row is a reading as it stands in a table, in the units of its columns.
type Row struct {
	At     quantity.Speed
	Shows  quantity.Angle
	Vacuum quantity.Vacuum // 0 for hose off
	Line   int             // of the text, from 1
}

// Reading returns the row at the crankshaft. Errors are those of [Reading.Check].
func (r Row) Reading(d advance.Drive) (Reading, error) {
	rpm, err := r.At.Crank(d)
	if err != nil {
		return Reading{}, fmt.Errorf("line %d: %w", r.Line, err)
	}
	degrees, err := r.Shows.Crank(d)
	if err != nil {
		return Reading{}, fmt.Errorf("line %d: %w", r.Line, err)
	}
	o := Reading{RPM: rpm, Degrees: degrees, Vacuum: r.Vacuum.SI(), HoseOn: r.Vacuum.SI() > 0}
	if err := o.Check(); err != nil {
		return Reading{}, fmt.Errorf("line %d: %w", r.Line, err)
	}
	return o, nil
}

// ReadCSV reads timing-light readings from comma-separated text. Its first row
// names the unit of each column, in this order:
//
//	rpm crank,deg crank,inHg
//
// or any other unit of speed, angle and vacuum that the package quantity takes. The
// vacuum column may be left out, and an empty vacuum cell means hose off. Lines that
// begin with # and empty ones are passed over; a cell may stand in straight quotes.
// The error holds every mistake with line and column, and its mend; each wraps
// [ErrCSV]. There are at most [MaxReadings] rows.
func ReadCSV(text io.Reader) ([]Row, error) {
	data, err := io.ReadAll(io.LimitReader(text, maxCSV+1))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrCSV, err)
	}
	t := &table{}
	switch {
	case len(data) > maxCSV:
		t.fail(1, 0, "the file holds more than %d bytes", maxCSV)
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}), bytes.IndexByte(data[:min(4, len(data))], 0) >= 0:
		t.fail(1, 0, "the file is UTF-16 text; save it again as UTF-8")
	default:
		t.read(string(bytes.TrimPrefix(data, []byte("\ufeff"))))
	}
	return t.rows, errors.Join(t.faults...)
}

// maxCSV is the longest file, in bytes; maxFaults is how many mistakes are listed.
const (
	maxCSV    = 1 << 20
	maxFaults = 20
)

// table is a CSV file on its way to rows.
type table struct {
	units  []string // nil until the first row is read
	rows   []Row
	faults []error
}

// fail notes a mistake; column 0 is none.
func (t *table) fail(line, column int, format string, args ...any) {
	at := fmt.Sprintf("line %d", line)
	if column > 0 {
		at += fmt.Sprintf(", column %d", column)
	}
	t.faults = append(t.faults, fmt.Errorf("%w: %s: %w", ErrCSV, at, fmt.Errorf(format, args...)))
}

// read takes the text line by line; a line ends with LF, CR LF or, from old
// computers, CR alone.
func (t *table) read(text string) {
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	for i, line := range strings.Split(text, "\n") {
		switch {
		case strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#"):
			continue
		case len(t.faults) >= maxFaults:
			t.fail(i+1, 0, "this and further lines were not looked at")
			return
		case !utf8.ValidString(line):
			t.fail(i+1, 0, "the readings are not valid UTF-8; save the file again as UTF-8")
			continue
		}
		if t.units == nil {
			if t.first(i+1, line); t.units == nil {
				return
			}
			continue
		}
		if len(t.rows) == MaxReadings {
			t.fail(i+1, 0, "more than %d readings", MaxReadings)
			return
		}
		t.row(i+1, line)
	}
	if t.units == nil && len(t.faults) == 0 {
		t.fail(1, 0, "the readings need a first row with the units, such as rpm crank,deg crank")
	}
}

// first reads the row with the units. Each is tried on a number, so that a mistake in
// it is told once and not again on every line.
func (t *table) first(line int, text string) {
	cells := t.cells(line, text)
	before := len(t.faults)
	switch {
	case len(cells) < 2 || len(cells) > 3:
		t.fail(line, 0, "the first row has %d columns, valid are speed, advance and optionally vacuum, parted by commas%s", len(cells), parted(text))
		return
	case number(cells[0].text) && number(cells[1].text):
		t.fail(line, 0, "the first row with the units is missing, such as rpm crank,deg crank")
		return
	}
	var one Row
	var units []string
	for i, c := range cells {
		if err := one.into(i).UnmarshalText([]byte("1 " + c.text)); err != nil {
			t.fail(line, c.column, "unit %s of the first row: %w", strconv.Quote(short(c.text)), err)
		}
		units = append(units, c.text)
	}
	if len(t.faults) == before {
		t.units = units
	}
}

// into is where the cell of a column goes.
func (r *Row) into(column int) encoding.TextUnmarshaler {
	return []encoding.TextUnmarshaler{&r.At, &r.Shows, &r.Vacuum}[column]
}

// row reads a reading.
func (t *table) row(line int, text string) {
	cells := t.cells(line, text)
	if len(cells) != len(t.units) {
		how := parted(text)
		if len(cells) > len(t.units) && how == "" {
			how = "; a number has a decimal point, never a comma"
		}
		t.fail(line, 0, "the row has %d cells, the first row names %d%s", len(cells), len(t.units), how)
		return
	}
	one := Row{Line: line}
	before := len(t.faults)
	for i, c := range cells {
		if i == 2 && c.text == "" {
			continue
		}
		if c.text != "" && strings.HasSuffix(c.text, t.units[i]) {
			t.fail(line, c.column, "%s: the unit stands in the first row already; write the number alone", strconv.Quote(short(c.text)))
			continue
		}
		if err := one.into(i).UnmarshalText([]byte(c.text + " " + t.units[i])); err != nil {
			t.fail(line, c.column, "%w", err)
		}
	}
	if len(t.faults) == before {
		t.rows = append(t.rows, one)
	}
}

// cell is the text of a cell and the column of its first byte.
type cell struct {
	text   string
	column int
}

// cells parts a line at its commas and takes straight quotes off.
func (t *table) cells(line int, text string) []cell {
	var out []cell
	at := 0
	for _, raw := range strings.Split(text, ",") {
		c := cell{strings.TrimSpace(raw), at + 1 + len(raw) - len(strings.TrimLeft(raw, " \t"))}
		if n := len(c.text); n >= 2 && c.text[0] == '"' && c.text[n-1] == '"' {
			c.text = strings.TrimSpace(c.text[1 : n-1])
		}
		if strings.ContainsAny(c.text, "“”„‘’") || strings.HasPrefix(c.text, "\"") {
			t.fail(line, c.column, "%s: write the number without quotes", strconv.Quote(short(c.text)))
		}
		out = append(out, c)
		at += len(raw) + 1
	}
	return out
}

// short cuts a cell for a message.
func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// parted says what parts the cells of a line that has too few.
func parted(line string) string {
	switch {
	case strings.Contains(line, ";"):
		return "; the cells are parted by semicolons: put commas, and a decimal point in the numbers"
	case strings.Contains(line, "\t"):
		return "; the cells are parted by tabs: put commas"
	}
	return ""
}

// number reports whether a cell is a bare number.
func number(s string) bool {
	_, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	return err == nil
}
