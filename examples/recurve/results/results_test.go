package results_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/examples/recurve/results"
)

func deg(x float64) *float64 { return &x }

// The columns of curves.csv are the fields of a row of result.json, by the same
// names and in the same order, each with its own value.
func TestColumnsAreTheFields(t *testing.T) {
	var row job.CurveRow
	fields := reflect.ValueOf(&row).Elem()
	var names, values []string
	for i := range fields.NumField() {
		name, _, _ := strings.Cut(fields.Type().Field(i).Tag.Get("json"), ",")
		names = append(names, name)
		if f := fields.Field(i); f.Kind() == reflect.Pointer {
			f.Set(reflect.ValueOf(deg(float64(i) + 0.25)))
			values = append(values, string(rune('0'+i))+".25")
		}
	}
	row.RPM = 1250.5
	text, err := results.Table(&job.Report{Curves: []job.CurveRow{row, {RPM: 2000}}})
	if err != nil {
		t.Fatal(err)
	}
	got, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := [][]string{names, append([]string{"1250.5"}, values...), append([]string{"2000"}, make([]string, len(names)-1)...)}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// Where a recipe fits, sheet.txt is its sheet; where none does, it is the report,
// which says why.
func TestSheet(t *testing.T) {
	s := &sheet.Sheet{Title: "mill"}
	text, err := results.Sheet(&job.Report{Title: "report", Sheet: s})
	if err != nil || string(text) != s.Text() {
		t.Errorf("error %v, text %q", err, text)
	}
	r := &job.Report{Title: "report", NoFit: &job.NoFit{Text: "Nothing in the drawer reaches it."}}
	text, err = results.Sheet(r)
	if err != nil || !strings.Contains(string(text), r.NoFit.Text) {
		t.Errorf("error %v, text %q", err, text)
	}
}

func TestJSON(t *testing.T) {
	text, err := results.JSON(&job.Report{Title: "mill", Curves: []job.CurveRow{{RPM: 900, Rising: deg(7.5)}}})
	if err != nil {
		t.Fatal(err)
	}
	var back job.Report
	if err := json.Unmarshal(text, &back); err != nil || back.Title != "mill" || *back.Curves[0].Rising != 7.5 {
		t.Errorf("error %v, read back %+v", err, back)
	}
	if !strings.HasSuffix(string(text), "}\n") {
		t.Error("the file does not end its last line")
	}
	if _, err := results.JSON(&job.Report{Searched: math.NaN()}); err == nil {
		t.Error("what is no number went into a file")
	}
}
