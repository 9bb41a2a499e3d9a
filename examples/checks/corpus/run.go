package corpus

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"example.org/bobweight/advance/quantity"
)

// Outcome is how one comparison ended.
type Outcome string

// The outcomes. Those of the first group are as they should be.
const (
	Agrees       Outcome = "agrees"
	KnownWrong   Outcome = "differs, as the erratum says"
	Inside       Outcome = "inside the band"
	KnownOutside Outcome = "outside the band, as the case says"
	TooWide      Outcome = "inside a band too wide to be a check"
)

// The outcomes that fail a run.
const (
	Strays   Outcome = "OUTSIDE THE BAND"
	Returned Outcome = "INSIDE THE BAND IN SPITE OF THE CASE"
	Differs  Outcome = "DIFFERS"
	Healed   Outcome = "AGREES IN SPITE OF THE ERRATUM"
	Broken   Outcome = "CANNOT BE COMPARED"
)

// Bad reports whether the outcome fails the run.
func (o Outcome) Bad() bool {
	return !slices.Contains([]Outcome{Agrees, KnownWrong, Inside, KnownOutside, TooWide}, o)
}

// Row is one comparison of one case.
type Row struct {
	File        string     `json:"file"`
	Line        int        `json:"line"`
	Case        string     `json:"case"`
	Title       string     `json:"title,omitempty"`
	Calculation string     `json:"calculation"`
	Drives      string     `json:"drives"`
	Subject     Subject    `json:"subject"`
	Kind        Kind       `json:"kind"`
	Name        string     `json:"name"`      // of the value found
	Published   string     `json:"published"` // as in the source, with unit
	Computed    string     `json:"computed"`  // in the same unit
	Difference  string     `json:"difference"`
	Allowed     string     `json:"allowed"`
	Tolerance   string     `json:"tolerance,omitempty"` // why, where not half the last digit
	Source      string     `json:"source"`
	Locator     string     `json:"locator"`
	Provenance  Provenance `json:"provenance"`
	Confidence  string     `json:"confidence"`
	Seen        string     `json:"seen,omitempty"`
	Method      string     `json:"method,omitempty"`
	Erratum     string     `json:"erratum,omitempty"`
	Note        string     `json:"note,omitempty"`
	Outside     string     `json:"outside,omitempty"`             // why a measured value lies beyond its band
	Width       float64    `json:"band_over_plausible,omitempty"` // band of a measured value over its plausible range
	Distance    float64    `json:"distance_in_bands,omitempty"`   // from the middle of the band, in widths of it: inside to 0.5
	Outcome     Outcome    `json:"outcome"`
	Why         string     `json:"why,omitempty"` // of a bad outcome
}

// Report is the outcome of a run.
type Report struct {
	Rows       []Row    `json:"rows"`
	Unreached  []string `json:"unreached,omitempty"`  // calculations that no case drives
	Clashes    []string `json:"clashes,omitempty"`    // names registered twice
	Unassigned []string `json:"unassigned,omitempty"` // calculations without a subject, with the reason
}

// Settings of a run. The zero value is the usual run.
type Settings struct {
	// Exact sets every tolerance to zero, so that each residual shows up as a
	// difference.
	Exact bool
}

// Run drives the calculation of every case and compares. It never stops early.
func Run(files []*File, s Settings) Report {
	r := runWith(registry, clashes, files, s)
	for _, name := range slices.Sorted(maps.Keys(registry)) {
		if _, err := subjectOf(registry[name].drives); err != nil {
			r.Unassigned = append(r.Unassigned, fmt.Sprintf("calculation %q: %v", name, err))
		}
	}
	return r
}

func runWith(known map[string]calculation, clashes []string, files []*File, s Settings) Report {
	r := Report{Clashes: clashes}
	reached := map[string]bool{}
	for _, f := range files {
		for _, c := range f.Cases {
			calc, ok := known[c.Calculation]
			if !ok {
				r.Rows = append(r.Rows, c.broken("", fmt.Sprintf("no calculation is called %q", c.Calculation)))
				continue
			}
			reached[c.Calculation] = true
			r.Rows = append(r.Rows, c.run(calc, s)...)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(known)) {
		if !reached[name] {
			r.Unreached = append(r.Unreached, name)
		}
	}
	return r
}

// Bad returns one line for everything that fails the run.
func (r Report) Bad() []string {
	var out []string
	for _, row := range r.Rows {
		if row.Outcome.Bad() {
			out = append(out, row.complaint())
		}
	}
	for _, name := range r.Unreached {
		out = append(out, fmt.Sprintf("calculation %q: no case reaches it", name))
	}
	for _, name := range r.Clashes {
		out = append(out, fmt.Sprintf("calculation %q is registered twice", name))
	}
	return append(out, r.Unassigned...)
}

// complaint says in one line what is wrong with a row; fields without content are
// left out.
func (r Row) complaint() string {
	line := fmt.Sprintf("%s:%d: case %s: ", r.File, r.Line, r.Case)
	if r.Name != "" {
		line += r.Name + ": "
	}
	line += string(r.Outcome)
	sep := ": "
	for _, f := range [][2]string{{"published", r.Published}, {"computed", r.Computed}, {"difference", r.Difference}, {"allowed", r.Allowed}} {
		if f[1] != "" {
			line += sep + f[0] + " " + f[1]
			sep = ", "
		}
	}
	if r.Why != "" {
		line += ". " + r.Why
	}
	return line
}

// row returns the parts of a row that do not depend on the comparison.
func (c *Case) row() Row {
	seen := c.Seen
	if seen == "" && c.Provenance == Read {
		seen = c.file.Source.Seen
	}
	return Row{
		File: c.file.Name, Line: c.line, Case: c.ID, Title: c.Title, Calculation: c.Calculation, Kind: c.Kind,
		Source: c.file.Source.String(), Locator: c.Locator, Provenance: c.Provenance, Confidence: c.Confidence,
		Seen: seen, Method: c.Method, Note: c.Note,
	}
}

func (c *Case) broken(name, why string) Row {
	r := c.row()
	r.Name, r.Outcome, r.Why = name, Broken, why
	return r
}

// run drives one case.
func (c *Case) run(calc calculation, s Settings) []Row {
	g := c.given()
	found, err := calc.run(g)
	var rows []Row
	switch wrong := g.problem(); {
	case wrong != nil:
		rows = []Row{c.broken("", wrong.Error())}
	case c.Kind == Refusal:
		rows = []Row{c.refusal(err)}
	case err != nil:
		rows = []Row{c.broken("", err.Error())}
	case c.Kind == Measured:
		for _, t := range c.targets {
			rows = append(rows, c.measure(t, found))
		}
	default:
		for _, t := range c.targets {
			rows = append(rows, c.compare(t, found, s))
		}
	}
	subject, _ := subjectOf(calc.drives) // Run reports one that has none
	for i := range rows {
		rows[i].Drives, rows[i].Subject = calc.drives, subject
	}
	return rows
}

// given hands the data of the case to a calculation.
func (c *Case) given() *Given {
	return &Given{values: c.Given, lists: c.Lists, groups: c.Groups}
}

// refusal compares the message of a refusal.
func (c *Case) refusal(err error) Row {
	r := c.row()
	r.Name, r.Published, r.Outcome = "refusal", c.Refused, Agrees
	switch {
	case err == nil:
		r.Outcome, r.Why = Differs, "it was not refused"
	case !strings.Contains(err.Error(), c.Refused):
		r.Outcome, r.Why = Differs, "the message says otherwise"
	}
	if err != nil {
		r.Computed = err.Error()
	}
	return r
}

// compare holds one found value against its target.
func (c *Case) compare(t target, found Found, s Settings) Row {
	r := c.row()
	r.Name, r.Published, r.Tolerance, r.Erratum = t.name, t.published, t.tolerance, t.erratum
	got, ok := found[t.name]
	if !ok {
		r.Outcome, r.Why = Broken, fmt.Sprintf("the calculation finds %s", strings.Join(slices.Sorted(maps.Keys(found)), ", "))
		return r
	}
	if err := t.fits(got); err != nil {
		r.Outcome, r.Why = Broken, err.Error()
		return r
	}
	diff, agrees := t.gap(got, s.Exact)
	r.Computed, r.Difference, r.Allowed = t.show(got, diff)
	switch {
	case t.erratum == "" && agrees:
		r.Outcome = Agrees
	case t.erratum == "":
		r.Outcome = Differs
	case agrees:
		r.Outcome, r.Why = Healed, "the erratum is no longer one: "+t.erratum
	default:
		r.Outcome = KnownWrong
	}
	return r
}

// show writes a computed value with two digits more than its allowance has, the
// difference and the allowance, all in the published unit.
func (t target) show(got quantity.Quantity, diff float64) (computed, difference, allowed string) {
	unit := t.unit
	gap := quantity.Quantity{SI: diff, Dim: got.Dim}
	wide := quantity.Quantity{SI: t.allowed, Dim: got.Dim}
	width := unit // a difference of temperatures is in K
	switch unit {
	case "degC":
		width = "K"
	case "degF":
		width = "degR"
	}
	x, err := got.In(unit)
	d, err2 := gap.In(width)
	a, err3 := wide.In(width)
	if err != nil || err2 != nil || err3 != nil {
		return got.String(), gap.String(), wide.String()
	}
	if span := t.high.SI - t.low.SI; span > 0 {
		return strconv.FormatFloat(x, 'g', 5, 64), fmt.Sprintf("%.2g", d), "range"
	}
	return decimals(x, a), fmt.Sprintf("%.2g", d), fmt.Sprintf("%.2g", a)
}

// Of returns the part of a report whose rows satisfy keep.
func (r Report) Of(keep func(Row) bool) Report {
	out := Report{Unreached: r.Unreached, Clashes: r.Clashes, Unassigned: r.Unassigned}
	for _, row := range r.Rows {
		if keep(row) {
			out.Rows = append(out.Rows, row)
		}
	}
	return out
}
