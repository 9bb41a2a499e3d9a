package corpus

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
)

// decimals writes x with two digits more than the allowance resolves.
func decimals(x, allowed float64) string {
	if !(allowed > 0) || allowed < 2e-12*math.Abs(x) || math.Abs(x) >= 1e7 || x != 0 && math.Abs(x) < 1e-4 {
		return strconv.FormatFloat(x, 'g', 9, 64)
	}
	n := int(math.Ceil(1 - math.Log10(allowed)))
	if n > 9 {
		return strconv.FormatFloat(x, 'g', 12, 64)
	}
	return strconv.FormatFloat(x, 'f', max(n, 0), 64)
}

// Table writes the rows of one kind as text, a block for each source.
func (r Report) Table(w io.Writer, kind Kind) error {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	last := ""
	for _, row := range r.Rows {
		if row.Kind != kind {
			continue
		}
		if row.File != last {
			fmt.Fprintf(tab, "\n%s\n", row.Source)
			fmt.Fprintf(tab, "  case\tvalue\tpublished\tcomputed\tdifference\tallowed\tprovenance\twhere\n")
			last = row.File
		}
		fmt.Fprintf(tab, "  %s\t%s\t%s\t%s\t%s\t%s\t%s\t%s\n", row.Case, row.Name, row.Published,
			clip(row.Computed, 60), row.Difference, row.Allowed, row.Provenance, row.Locator)
		if row.Erratum != "" {
			fmt.Fprintf(tab, "  \terratum: %s\n", row.Erratum)
		}
		if row.Outside != "" {
			fmt.Fprintf(tab, "  \toutside the band: %s\n", row.Outside)
		}
		if row.Outcome.Bad() {
			fmt.Fprintf(tab, "  \t%s: %s\n", row.Outcome, row.Why)
		}
	}
	return tab.Flush()
}

// clip shortens a message so that it does not widen a whole table.
func clip(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}

// Count is the number of cases and of values in them of one kind and provenance.
type Count struct {
	Kind       Kind       `json:"kind"`
	Provenance Provenance `json:"provenance"`
	Cases      int        `json:"cases"`
	Values     int        `json:"values"`
	Errata     int        `json:"errata"`
	Bad        int        `json:"bad"`
}

// Counts returns the counts by kind and provenance, without empty ones.
func (r Report) Counts() []Count {
	var out []Count
	for _, k := range Kinds() {
		for _, p := range Provenances() {
			n := Count{Kind: k, Provenance: p}
			cases := map[string]bool{}
			for _, row := range r.Rows {
				if row.Kind != k || row.Provenance != p {
					continue
				}
				cases[row.Case] = true
				n.Values++
				if row.Outcome == KnownWrong {
					n.Errata++
				}
				if row.Outcome.Bad() {
					n.Bad++
				}
			}
			if n.Cases = len(cases); n.Cases > 0 {
				out = append(out, n)
			}
		}
	}
	return out
}

// read returns the number of published cases whose source was read, and of these sources.
func (r Report) read() (cases, sources int) {
	ids, files := map[string]bool{}, map[string]bool{}
	for _, row := range r.Rows {
		if row.Kind == Published && row.Provenance == Read {
			ids[row.Case], files[row.File] = true, true
		}
	}
	return len(ids), len(files)
}

// Summary writes the counts as text, last the published cases whose source was read.
func (r Report) Summary(w io.Writer) error {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "kind\tprovenance\tcases\tvalues\terrata\tfailing\n")
	for _, n := range r.Counts() {
		fmt.Fprintf(tab, "%s\t%s\t%d\t%d\t%d\t%d\n", n.Kind, n.Provenance, n.Cases, n.Values, n.Errata, n.Bad)
	}
	if err := tab.Flush(); err != nil {
		return err
	}
	cases, sources := r.read()
	_, err := fmt.Fprintf(w, "published cases read: %d, from %d sources\n", cases, sources)
	return err
}

// List writes the calculations that a case can name, with their library functions,
// the givens that they ask for and the values that they find.
func List(w io.Writer, calculations []Calculation) error {
	for _, c := range calculations {
		if _, err := fmt.Fprintf(w, "%s (%s)\n  drives    %s\n  asks for  %s\n  finds     %s\n", c.Name, c.Subject, c.Drives,
			strings.Join(c.Givens, "; "), strings.Join(c.Finds, "; ")); err != nil {
			return err
		}
	}
	return nil
}

// SubjectSummary writes the published and measured counts of each subject as text.
func (r Report) SubjectSummary(w io.Writer) error {
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintf(tab, "subject\tkind\tprovenance\tcases\tvalues\terrata\n")
	for _, s := range Subjects() {
		for _, n := range r.Of(func(row Row) bool { return row.Subject == s }).Counts() {
			fmt.Fprintf(tab, "%s\t%s\t%s\t%d\t%d\t%d\n", s, n.Kind, n.Provenance, n.Cases, n.Values, n.Errata)
		}
	}
	return tab.Flush()
}

// JSON writes the whole report.
func (r Report) JSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(struct {
		Report
		Counts []Count `json:"counts"`
	}{r, r.Counts()})
}
