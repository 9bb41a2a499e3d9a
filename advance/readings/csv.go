package readings

import (
	"bufio"
	"encoding"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
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
// vacuum column may be left out, and an empty vacuum cell means hose off. Errors
// wrap [ErrCSV] and name line and column; there are at most [MaxReadings] rows.
func ReadCSV(text io.Reader) ([]Row, error) {
	in := bufio.NewReader(text)
	if mark, err := in.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = in.Discard(3) // peeked: cannot fail
	}
	r := csv.NewReader(in)
	r.TrimLeadingSpace = true
	r.Comment = '#'
	units, err := r.Read()
	if err != nil {
		return nil, csvError(err, "the readings need a first row with the units, such as rpm crank,deg crank")
	}
	if len(units) < 2 || len(units) > 3 {
		line, _ := r.FieldPos(0)
		return nil, fmt.Errorf("%w: line %d: the first row has %d columns, valid are speed, advance and optionally vacuum", ErrCSV, line, len(units))
	}
	var out []Row
	for range MaxReadings + 1 {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, csvError(err, "the row cannot be read")
		}
		one, err := rowOf(r, cells, units)
		if err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	return nil, fmt.Errorf("%w: more than %d readings", ErrCSV, MaxReadings)
}

// rowOf reads the cells of a row.
func rowOf(r *csv.Reader, cells, units []string) (Row, error) {
	var one Row
	one.Line, _ = r.FieldPos(0)
	for i, into := range []encoding.TextUnmarshaler{&one.At, &one.Shows, &one.Vacuum}[:len(cells)] {
		cell := strings.TrimSpace(cells[i])
		line, column := r.FieldPos(i)
		if !utf8.ValidString(cell + units[i]) {
			return one, fmt.Errorf("%w: line %d, column %d: the readings are not valid UTF-8", ErrCSV, line, column)
		}
		if i == 2 && cell == "" {
			continue
		}
		if err := into.UnmarshalText([]byte(cell + " " + strings.TrimSpace(units[i]))); err != nil {
			return one, fmt.Errorf("%w: line %d, column %d: %w", ErrCSV, line, column, err)
		}
	}
	return one, nil
}

// csvError turns what encoding/csv says into a sentence with the line.
func csvError(err error, otherwise string) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fmt.Errorf("%w: line %d: %w", ErrCSV, p.Line, p.Err)
	}
	if !errors.Is(err, io.EOF) {
		return fmt.Errorf("%w: %w", ErrCSV, err)
	}
	return fmt.Errorf("%w: %s", ErrCSV, otherwise)
}
