package corpus

import (
	"strings"
)

// Source is the citation of a corpus file.
type Source struct {
	Author    string `json:"author"`
	Title     string `json:"title"`
	Edition   string `json:"edition"`
	Year      string `json:"year"`
	Publisher string `json:"publisher"`
	Seen      string `json:"seen"` // where its numbers were read, unless a case says otherwise
	Note      string `json:"note"`
}

// String returns the citation in one line.
func (s Source) String() string {
	var parts []string
	for _, p := range []string{s.Author, s.Title, s.Edition, s.Publisher, s.Year} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ", ")
}

// Case is one worked example: data, what is to be found, and where it is from.
type Case struct {
	ID          string                        `json:"id"`
	Title       string                        `json:"title"`
	Calculation string                        `json:"calculation"`
	Kind        Kind                          `json:"kind"`
	Locator     string                        `json:"locator"`
	Provenance  Provenance                    `json:"provenance"`
	Confidence  string                        `json:"confidence"` // high, medium or low
	Seen        string                        `json:"seen"`
	Method      string                        `json:"method"` // of a reference computation
	Given       map[string]value              `json:"given"`
	Lists       map[string][]value            `json:"lists"`
	Groups      map[string][]map[string]value `json:"groups"`
	Find        map[string]string             `json:"find"`
	Range       map[string]Range              `json:"range"`
	Rounding    map[string]string             `json:"rounding"`
	Tolerance   map[string]Tolerance          `json:"tolerance"`
	Erratum     map[string]string             `json:"erratum"`
	Plausible   map[string]Range              `json:"plausible"` // of a measured value: what any engine might have shown
	Outside     map[string]string             `json:"outside"`   // of a measured value beyond its band: why
	Refused     string                        `json:"refused"`   // words of the message of a refusal
	Note        string                        `json:"note"`

	targets []target
	file    *File
	line    int
}

// Range is a published fact that is a range.
type Range struct {
	From string `json:"from"`
	To   string `json:"to"`
}

// Tolerance is an allowance wider than the last digit, with its reason.
type Tolerance struct {
	Within  string `json:"within"`
	Because string `json:"because"`
}

// File is one source with its cases.
type File struct {
	Name   string  `json:"-"`
	Source Source  `json:"source"`
	Cases  []*Case `json:"cases"`
}

// Kind says what stands behind the expected value of a case.
type Kind string

// The kinds of a case; the package comment explains them.
const (
	Published Kind = "published"
	Measured  Kind = "measured"
	Practice  Kind = "practice"
	Reference Kind = "reference"
	Refusal   Kind = "refusal"
	RoundTrip Kind = "round trip"
)

// Kinds lists the kinds in the order of reports.
func Kinds() []Kind { return []Kind{Published, Measured, Practice, Reference, Refusal, RoundTrip} }

// Provenance says how the expected value came here.
type Provenance string

// The provenances of a case; the package comment explains them.
const (
	Read           Provenance = "read"
	FromMemory     Provenance = "from memory"
	CommonPractice Provenance = "common practice"
	Own            Provenance = "own"
)

// Provenances lists the provenances in the order of reports.
func Provenances() []Provenance { return []Provenance{Read, FromMemory, CommonPractice, Own} }
