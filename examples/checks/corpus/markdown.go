package corpus

import (
	"fmt"
	"io"
	"strings"
)

// Markdown writes the page "checked against": for each subject the published
// values, source by source, with what the library computes for them, and the
// counts. What a source has wrong stands there with the reason.
func (r Report) Markdown(w io.Writer) error {
	var b strings.Builder
	for _, s := range Subjects() {
		part := r.Of(func(row Row) bool { return row.Subject == s })
		title := strings.ToUpper(string(s[:1])) + string(s[1:])
		fmt.Fprintf(&b, "\n## %s\n\n", title)
		part.counts(&b)
		part.published(&b)
	}
	b.WriteString("\n## All subjects\n\n")
	r.counts(&b)
	_, err := io.WriteString(w, strings.TrimPrefix(b.String(), "\n"))
	return err
}

// counts writes the table of counts by kind and provenance.
func (r Report) counts(b *strings.Builder) {
	b.WriteString("| kind | how known | cases | values | errata of the source |\n|---|---|---:|---:|---:|\n")
	for _, n := range r.Counts() {
		fmt.Fprintf(b, "| %s | %s | %d | %d | %d |\n", n.Kind, n.Provenance, n.Cases, n.Values, n.Errata)
	}
}

// published writes the published values, a table for each source.
func (r Report) published(b *strings.Builder) {
	last := ""
	for _, row := range r.Rows {
		if row.Kind != Published && row.Kind != Measured {
			continue
		}
		if row.File != last {
			fmt.Fprintf(b, "\n### %s\n\n", cell(row.Source))
			b.WriteString("| example | value | published | computed | difference | how known | where |\n")
			b.WriteString("|---|---|---:|---:|---:|---|---|\n")
			last = row.File
		}
		title, known := row.Title, string(row.Provenance)
		if title == "" {
			title = row.Calculation
		}
		if row.Provenance == FromMemory {
			known += ", confidence " + row.Confidence
		}
		difference := row.Difference
		switch {
		case row.Erratum != "":
			difference += " — the source is in error: " + row.Erratum
		case row.Outside != "":
			difference += " — outside the band: " + row.Outside
		case row.Outcome == TooWide:
			difference += " — " + row.Allowed + ", too wide to be a check"
		case row.Kind == Measured:
			difference += " (" + row.Allowed + ")"
		case row.Outcome.Bad():
			difference += " — " + string(row.Outcome)
		case row.Tolerance != "":
			difference += " (" + row.Tolerance + ")"
		}
		fmt.Fprintf(b, "| %s | %s | %s | %s | %s | %s | %s |\n", cell(title), cell(row.Name), cell(row.Published),
			cell(row.Computed), cell(difference), cell(known), cell(row.Locator))
	}
}

// cell makes a text fit into one cell of a table.
func cell(s string) string {
	return strings.NewReplacer("|", "\\|", "\n", " ", "<", "&lt;", "*", "\\*", "_", "\\_").Replace(s)
}
