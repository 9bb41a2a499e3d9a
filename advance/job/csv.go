package job

import (
	"bytes"
	"encoding"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// MaxReadings is the largest number of readings that a job may hold.
const MaxReadings = 500

// ErrReadings is wrapped by every error of [ReadCSV].
var ErrReadings = errors.New("readings file")

// ReadCSV reads timing-light readings from comma-separated text. Its first row
// names the unit of each column, in this order:
//
//	rpm crank,deg crank,inHg
//
// or any other unit of speed, angle and vacuum that a job file takes; the vacuum
// column may be left out, and an empty vacuum cell means hose off. Errors wrap
// [ErrReadings] and name line and column.
func ReadCSV(text []byte) ([]Reading, error) {
	if !utf8.Valid(text) {
		return nil, fmt.Errorf("%w: the readings are not valid UTF-8", ErrReadings)
	}
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, []byte("\ufeff"))))
	r.TrimLeadingSpace = true
	r.Comment = '#'
	units, err := r.Read()
	if err != nil {
		return nil, csvError(err, "the readings need a first row with the units, such as rpm crank,deg crank")
	}
	if len(units) < 2 || len(units) > 3 {
		return nil, fmt.Errorf("%w: line 1: the first row has %d columns, valid are speed, advance and optionally vacuum", ErrReadings, len(units))
	}
	var out []Reading
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, csvError(err, "the row cannot be read")
		}
		if len(out) == MaxReadings {
			return nil, fmt.Errorf("%w: more than %d readings", ErrReadings, MaxReadings)
		}
		var one Reading
		for i, into := range []encoding.TextUnmarshaler{&one.At, &one.Shows, &one.Vacuum}[:len(row)] {
			cell := strings.TrimSpace(row[i])
			if i == 2 && cell == "" {
				continue
			}
			if err := into.UnmarshalText([]byte(cell + " " + strings.TrimSpace(units[i]))); err != nil {
				line, column := r.FieldPos(i)
				return nil, fmt.Errorf("%w: line %d, column %d: %w", ErrReadings, line, column, err)
			}
		}
		out = append(out, one)
	}
}

// csvError turns what encoding/csv says into a sentence with the line.
func csvError(err error, otherwise string) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return fmt.Errorf("%w: line %d: %w", ErrReadings, p.Line, p.Err)
	}
	return fmt.Errorf("%w: %s", ErrReadings, otherwise)
}
