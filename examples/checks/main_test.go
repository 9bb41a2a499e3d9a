package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"example.org/bobweight/examples/checks/corpus"
	"example.org/bobweight/testdata"
)

// TestProgram runs the program as from the command line.
func TestProgram(t *testing.T) {
	for _, c := range []struct {
		args   string
		status int
		out    string
		err    string
	}{
		{"-exact -file nist", 1, "nist-psi", "case nist-psi: SI: DIFFERS"},
		{"-list", 0, "  finds     moment, new; moment, worn", ""},
		{"-file hibbeler-mech", 0, "published cases read: ", ""},
		{"-subject springs -file bevan", 0, "subject", ""},
		{"-subject ships", 2, "", `subject is "ships", valid is mechanism`},
		{"-wrong", 2, "", "-wrong"},
		{"extra", 2, "", `"extra" is not understood`},
	} {
		var out, problems bytes.Buffer
		status := run(strings.Fields(c.args), &out, &problems)
		if status != c.status || !strings.Contains(out.String(), c.out) || !strings.Contains(problems.String(), c.err) {
			t.Errorf("checks %s: status %d, want %d; wanted output with %q and problems with %q, got problems %.300q", c.args, status, c.status, c.out, c.err, problems.String())
		}
	}
}

// TestForms writes one report of the whole corpus in every form.
func TestForms(t *testing.T) {
	files, err := corpus.Load(testdata.Corpus, "corpus")
	if err != nil {
		t.Fatal(err)
	}
	report := corpus.Run(files, corpus.Settings{})
	for _, c := range []struct {
		name    string
		options options
		holds   string
		lacks   string
	}{
		{"published", options{}, "175.1268 N/m", "REFERENCE"},
		{"all kinds", options{all: true}, "ROUND TRIP", "DIFFERS"},
		{"Markdown", options{markdown: true}, "| pound-force per inch | SI | 175.1268 N/m | 175.126835 | 3.5e-05 | read | Appendix B.8 |", "DIFFERS"},
		{"one source", options{file: "nist"}, "nist-psi", "mech-"},
	} {
		var out, problems bytes.Buffer
		status := c.options.show(report, &out, &problems)
		if status != 0 || problems.Len() > 0 {
			t.Errorf("%s: status %d, problems %q", c.name, status, problems.String())
		}
		if s := out.String(); !strings.Contains(s, c.holds) || strings.Contains(s, c.lacks) {
			t.Errorf("%s: the output must hold %q and not %q", c.name, c.holds, c.lacks)
		}
	}

	var out, problems bytes.Buffer
	if status := (options{json: true}).show(report, &out, &problems); status != 0 {
		t.Fatalf("JSON: status %d: %s", status, problems.String())
	}
	var back struct {
		Rows   []corpus.Row
		Counts []corpus.Count
	}
	if err := json.Unmarshal(out.Bytes(), &back); err != nil {
		t.Fatal(err)
	}
	values := 0
	for _, n := range back.Counts {
		values += n.Values
	}
	if values != len(back.Rows) || values == 0 {
		t.Errorf("the counts hold %d values, the rows %d", values, len(back.Rows))
	}
	for _, r := range back.Rows {
		if r.Source == "" || r.Locator == "" || r.Published == "" || r.Computed == "" {
			t.Errorf("row %+v has gaps", r)
		}
	}
}
