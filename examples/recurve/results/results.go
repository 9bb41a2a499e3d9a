package results

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"

	"example.org/bobweight/advance/job"
)

// Sheet is the text of sheet.txt: the setting and check sheet or, where no recipe
// fits, the whole report, which says why.
func Sheet(r *job.Report) ([]byte, error) {
	if r.Sheet != nil {
		return []byte(r.Sheet.Text()), nil
	}
	var text bytes.Buffer
	err := r.Text(&text)
	return text.Bytes(), err
}

// JSON is the text of result.json, the report itself.
func JSON(r *job.Report) ([]byte, error) {
	data, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return nil, err
	}
	return append(data, '\n'), nil
}

// columns of curves.csv, with what stands in them.
var columns = []struct {
	head string
	of   func(job.CurveRow) *float64
}{
	{"rpm", func(r job.CurveRow) *float64 { return &r.RPM }},
	{"present_deg", func(r job.CurveRow) *float64 { return r.Present }},
	{"rising_deg", func(r job.CurveRow) *float64 { return r.Rising }},
	{"falling_deg", func(r job.CurveRow) *float64 { return r.Falling }},
	{"low_deg", func(r job.CurveRow) *float64 { return r.Low }},
	{"high_deg", func(r job.CurveRow) *float64 { return r.High }},
	{"mbt_deg", func(r job.CurveRow) *float64 { return r.MBT }},
	{"limit_deg", func(r job.CurveRow) *float64 { return r.Limit }},
	{"limit_low_deg", func(r job.CurveRow) *float64 { return r.LimitLow }},
	{"limit_high_deg", func(r job.CurveRow) *float64 { return r.LimitHigh }},
}

// Table is the text of curves.csv: a row for each speed of the report's curves,
// engine rpm as it is and crank degrees before top centre with two decimals. An
// empty cell is a curve that is not known at that speed.
func Table(r *job.Report) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	row := make([]string, len(columns))
	for i, c := range columns {
		row[i] = c.head
	}
	if err := w.Write(row); err != nil {
		return nil, err
	}
	for _, x := range r.Curves {
		for i, c := range columns {
			decimals := 2
			if i == 0 {
				decimals = -1
			}
			row[i] = ""
			if y := c.of(x); y != nil {
				row[i] = strconv.FormatFloat(*y, 'f', decimals, 64)
			}
		}
		if err := w.Write(row); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return b.Bytes(), w.Error()
}
