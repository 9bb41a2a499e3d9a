package readings

import (
	"bytes"
	"encoding"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.org/bobweight/advance/quantity"
)

// errCSV begins every mistake of a file; it is one kind of [valid.ErrRange].
var errCSV error = fileFault("readings file")

type fileFault string

func (f fileFault) Error() string        { return string(f) }
func (f fileFault) Is(target error) bool { return errors.Is(errRange, target) }

// Row is a reading as it stands in a table, in the units of its columns.
type Row struct {
	At      quantity.Speed
	Shows   quantity.Angle
	Vacuum  quantity.Vacuum // 0 for hose off
	Falling bool            // the speed was reached from above
	// Cylinder is whose spark was read, 1 to 16; 0 where not noted.
	Cylinder int
	Note     string // free text
	Line     int    // of the text, from 1
}

// ReadCSV reads timing-light readings from comma-separated text. Its first row
// names the unit of each column:
//
//	rpm crank,deg crank,inHg,falling,cylinder,note
//
// or any other unit of speed, angle and vacuum that the package quantity takes. Speed
// and advance stand first; the others may be left out and stand in any order. An empty
// vacuum cell means hose off. A column falling holds yes or no, or a column sweep holds
// up or down; an empty cell means that the speed rose. A column cylinder holds the
// number of the cylinder whose spark was read. A note is free text. Lines that
// begin with # and empty ones are passed over; a cell may stand in straight quotes, and
// must where a note holds a comma.
// The error holds every mistake with line and column, and its mend; each wraps
// [valid.ErrRange]. There are at most 2,000 rows.
func ReadCSV(text io.Reader) ([]Row, error) {
	if text == nil {
		return nil, fmt.Errorf("%w: there is no text: the reader is nil", errCSV)
	}
	data, err := io.ReadAll(io.LimitReader(text, maxCSV+1))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errCSV, err)
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
	columns []column // nil until the first row is read
	rows    []Row
	faults  []error
}

// column is what the first row names: a unit, or one of the words falling, sweep,
// cylinder and note.
type column struct {
	kind kind
	unit string // of a quantity
}

// kind is what a column holds.
type kind int

const (
	ofSpeed kind = iota
	ofAngle
	ofVacuum
	ofFalling
	ofSweep
	ofCylinder
	ofNote
)

// columnWords are the heads of columns that hold no quantity.
var columnWords = map[string]kind{"falling": ofFalling, "sweep": ofSweep, "cylinder": ofCylinder, "note": ofNote}

// sweepWords are the cells that tell how the speed was reached: whether it fell.
var sweepWords = map[kind]map[string]bool{
	ofFalling: {"": false, "no": false, "yes": true},
	ofSweep:   {"": false, "up": false, "down": true},
}

// fail notes a mistake; column 0 is none.
func (t *table) fail(line, column int, format string, args ...any) {
	at := fmt.Sprintf("line %d", line)
	if column > 0 {
		at += fmt.Sprintf(", column %d", column)
	}
	t.faults = append(t.faults, fmt.Errorf("%w: %s: %w", errCSV, at, fmt.Errorf(format, args...)))
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
		if t.columns == nil {
			if t.first(i+1, line); t.columns == nil {
				return
			}
			continue
		}
		if len(t.rows) == maxReadings {
			t.fail(i+1, 0, "more than %d readings", maxReadings)
			return
		}
		t.row(i+1, line)
	}
	if t.columns == nil && len(t.faults) == 0 {
		t.fail(1, 0, "the readings need a first row with the units, such as rpm crank,deg crank")
	}
}

// first reads the row with the units. Each is tried on a number, so that a mistake in
// it is told once and not again on every line.
func (t *table) first(line int, text string) {
	cells := t.cells(line, text)
	before := len(t.faults)
	switch {
	case len(cells) < 2 || len(cells) > 6:
		t.fail(line, 0, "the first row has %d columns, valid are speed, advance and optionally vacuum, falling or sweep, cylinder and note, parted by commas%s", len(cells), parted(text))
		return
	case number(cells[0].text) && number(cells[1].text):
		t.fail(line, 0, "the first row with the units is missing, such as rpm crank,deg crank")
		return
	}
	var one Row
	var columns []column
	var seen [ofNote + 1]bool
	for i, c := range cells {
		x := column{min(kind(i), ofVacuum), c.text}
		if word, ok := columnWords[strings.ToLower(c.text)]; ok && i >= 2 {
			x = column{kind: word}
		} else if err := one.into(x.kind).UnmarshalText([]byte("1 " + c.text)); err != nil {
			t.fail(line, c.column, "unit %s of the first row, which names the unit of each column, such as rpm crank,deg crank: %w", strconv.Quote(short(c.text)), err)
		}
		if seen[x.kind] || x.kind == ofSweep && seen[ofFalling] || x.kind == ofFalling && seen[ofSweep] {
			t.fail(line, c.column, "column %s says what an earlier one says; give one of the two", strconv.Quote(short(c.text)))
		}
		seen[x.kind] = true
		columns = append(columns, x)
	}
	if len(t.faults) == before {
		t.columns = columns
	}
}

// into is where the cell of a quantity goes.
func (r *Row) into(k kind) encoding.TextUnmarshaler {
	return []encoding.TextUnmarshaler{&r.At, &r.Shows, &r.Vacuum}[k]
}

// row reads a reading.
func (t *table) row(line int, text string) {
	cells := t.cells(line, text)
	if len(cells) != len(t.columns) {
		how := parted(text)
		if len(cells) > len(t.columns) && how == "" {
			how = "; a number has a decimal point, never a comma"
			if slices.Contains(t.columns, column{kind: ofNote}) {
				how += ", and a note with a comma stands in straight quotes"
			}
		}
		t.fail(line, 0, "the row has %d cells, the first row names %d%s", len(cells), len(t.columns), how)
		return
	}
	one := Row{Line: line}
	before := len(t.faults)
	for i, c := range cells {
		t.cell(line, &one, t.columns[i], c)
	}
	if len(t.faults) == before {
		t.rows = append(t.rows, one)
	}
}

// cell reads one cell of a reading.
func (t *table) cell(line int, r *Row, x column, c cell) {
	switch x.kind {
	case ofNote:
		r.Note = c.text
		return
	case ofCylinder:
		if n, err := strconv.Atoi(c.text); err == nil && n >= 1 && n <= maxCylinders {
			r.Cylinder = n
		} else if c.text != "" {
			t.fail(line, c.column, "cylinder is %s, valid is a number from 1 to %d", strconv.Quote(short(c.text)), maxCylinders)
		}
		return
	case ofFalling, ofSweep:
		falls, ok := sweepWords[x.kind][strings.ToLower(c.text)]
		switch r.Falling = falls; {
		case ok:
		case x.kind == ofFalling:
			t.fail(line, c.column, "falling is %s, valid is yes or no", strconv.Quote(short(c.text)))
		default:
			t.fail(line, c.column, "sweep is %s, valid is up or down", strconv.Quote(short(c.text)))
		}
		return
	case ofVacuum:
		if c.text == "" {
			return
		}
	}
	if c.text != "" && strings.HasSuffix(c.text, x.unit) {
		t.fail(line, c.column, "%s: the unit stands in the first row already; write the number alone", strconv.Quote(short(c.text)))
	} else if err := r.into(x.kind).UnmarshalText([]byte(c.text + " " + x.unit)); err != nil {
		t.fail(line, c.column, "%w", err)
	}
}

// cell is the text of a cell and the column of its first byte.
type cell struct {
	text   string
	column int
}

// cells parts a line at its commas and takes straight quotes off. What a note says is
// its writer's own.
func (t *table) cells(line int, text string) []cell {
	var out []cell
	at := 0
	for i, raw := range split(text) {
		c := cell{strings.TrimSpace(raw), at + 1 + len(raw) - len(strings.TrimLeft(raw, " \t"))}
		if n := len(c.text); n >= 2 && c.text[0] == '"' && c.text[n-1] == '"' {
			c.text = strings.ReplaceAll(strings.TrimSpace(c.text[1:n-1]), "\"\"", "\"")
		}
		note := i < len(t.columns) && t.columns[i].kind == ofNote
		if !note && (strings.ContainsAny(c.text, "“”„‘’") || strings.HasPrefix(c.text, "\"")) {
			t.fail(line, c.column, "%s: write the number without quotes", strconv.Quote(short(c.text)))
		}
		out = append(out, c)
		at += len(raw) + 1
	}
	return out
}

// split parts a line at the commas outside of straight quotes (RFC 4180, section 2). A
// quote that is not closed before a comma or the end is a character like others.
func split(text string) []string {
	var out []string
	cut := func() int {
		if n := quoted(text); n > 0 {
			return n
		}
		return strings.IndexByte(text, ',')
	}
	for end := cut(); end >= 0 && end < len(text); end = cut() { // the rest gets shorter
		out, text = append(out, text[:end]), text[end+1:]
	}
	return append(out, text)
}

// quoted returns where a cell in quotes ends, at a comma or the end; 0 where the text
// does not begin with one.
func quoted(text string) int {
	at := len(text) - len(strings.TrimLeft(text, " \t"))
	if at == len(text) || text[at] != '"' {
		return 0
	}
	for at++; at < len(text); at++ {
		switch {
		case text[at] != '"':
		case at+1 < len(text) && text[at+1] == '"':
			at++ // two quotes stand for one
		default:
			end := len(text) - len(strings.TrimLeft(text[at+1:], " \t"))
			if end == len(text) || text[end] == ',' {
				return end
			}
			return 0
		}
	}
	return 0
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
