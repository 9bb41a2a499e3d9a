package jobref

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
)

//go:embed reference.html
var pageText string

var pageTemplate = template.Must(template.New("reference").Parse(pageText))

// Need says in words which answer needs a field, and what may stand in its place.
func (o *Object) Need(f *Field) string {
	var others []string
	for _, e := range o.Either {
		if i := slices.Index(e, f.Name); i >= 0 {
			others = append(others, e[1-i])
		}
	}
	switch {
	case len(others) > 0 && f.For != "":
		return "this or " + strings.Join(others, " or ") + ", for: " + f.For
	case len(others) > 0:
		return "this or " + strings.Join(others, " or ")
	case f.For != "":
		return "for: " + f.For
	}
	return "may be left out"
}

// docLink is a name in brackets, as a comment links to it.
var docLink = regexp.MustCompile(`\[([A-Z]\w*)\]`)

var notWord = regexp.MustCompile(`[^a-z0-9]+`)

// ID is the anchor of an object or a kind.
func ID(name string) string {
	return "the-" + strings.Trim(notWord.ReplaceAllString(strings.ToLower(name), "-"), "-")
}

// HTML returns the body of the reference page.
func (r *Reference) HTML() (template.HTML, error) {
	type row struct {
		*Field
		Need, Link string
	}
	type part struct {
		*Object
		ID, Title, Comment string
		Rows               []row
	}
	var data struct {
		Parts []part
		Kinds []row
	}
	for i, o := range r.Objects {
		p := part{Object: o, ID: ID(o.Name), Title: o.Name, Comment: docLink.ReplaceAllString(o.Comment, "$1")}
		if i == 0 {
			p.Title = "The file"
		}
		for _, f := range o.Fields {
			p.Rows = append(p.Rows, row{f, o.Need(f), ID(f.Kind)})
		}
		data.Parts = append(data.Parts, p)
	}
	for _, f := range r.Kinds {
		data.Kinds = append(data.Kinds, row{f, "", ID(f.Kind)})
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, data); err != nil {
		return "", fmt.Errorf("%w: %w", ErrReference, err)
	}
	return template.HTML(b.String()), nil
}
