package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"example.org/bobweight/examples/checks/corpus"
)

// TestProgram runs the program as from the command line.
func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args   string
		status int
		out    string
		err    string
	}{
		{"", 0, "175.1268 N/m", ""},
		{"-all", 0, "REFERENCE", ""},
		{"-markdown", 0, "| pound-force per inch | SI | 175.1268 N/m | 175.126835 | 3.5e-05 | read | Appendix B.8 |", ""},
		{"-file nist", 0, "nist-psi", ""},
		{"-exact", 1, "nist-psi", "case nist-psi: SI: DIFFERS"},
		{"-wrong", 2, "", "-wrong"},
		{"extra", 2, "", `"extra" is not understood`},
	} {
		var out, problems bytes.Buffer
		status := run(strings.Fields(c.args), &out, &problems)
		if status != c.status || !strings.Contains(out.String(), c.out) || !strings.Contains(problems.String(), c.err) {
			t.Errorf("checks %s: status %d, want %d; wanted output with %q and problems with %q, got problems %.300q", c.args, status, c.status, c.out, c.err, problems.String())
		}
		if c.status == 0 && problems.Len() > 0 {
			t.Errorf("checks %s: problems %q", c.args, problems.String())
		}
	}
}

// TestJSON checks that the JSON form holds what the table shows.
func TestJSON(t *testing.T) {
	var out, problems bytes.Buffer
	if status := run([]string{"-json"}, &out, &problems); status != 0 {
		t.Fatalf("status %d: %s", status, problems.String())
	}
	var report struct {
		Rows   []corpus.Row
		Counts []corpus.Count
	}
	if err := json.Unmarshal(out.Bytes(), &report); err != nil {
		t.Fatal(err)
	}
	values := 0
	for _, n := range report.Counts {
		values += n.Values
	}
	if values != len(report.Rows) || values == 0 {
		t.Errorf("the counts hold %d values, the rows %d", values, len(report.Rows))
	}
	for _, r := range report.Rows {
		if r.Source == "" || r.Locator == "" || r.Published == "" || r.Computed == "" {
			t.Errorf("row %+v has gaps", r)
		}
	}
}
