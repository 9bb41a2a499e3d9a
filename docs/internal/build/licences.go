package build

import (
	"context"
	"fmt"
	"html/template"
	"path/filepath"
	"strings"

	"example.org/bobweight/docs/internal/apiref"
	"example.org/bobweight/docs/internal/licence"
)

// licences lists what the site passes on of other people's work, with the texts, as the
// modules themselves hold them.
func (b *builder) licences() (string, error) {
	var programs []string
	for _, l := range libraries {
		programs = append(programs, l.program)
	}
	works, err := licence.Of(context.Background(), filepath.Join(b.Root, "docs"), "js/wasm", apiref.Module, programs...)
	if err != nil {
		return "", err
	}
	var out strings.Builder
	for _, w := range works {
		fmt.Fprintf(&out, "<details><summary>%s %s</summary>\n", template.HTMLEscapeString(w.Name), template.HTMLEscapeString(w.Version))
		for _, t := range w.Texts {
			fmt.Fprintf(&out, "<p>%s:</p>\n<pre tabindex=\"0\">%s</pre>\n", template.HTMLEscapeString(t.Name), unbroken(t.Body))
		}
		out.WriteString("</details>\n")
	}
	return out.String(), nil
}

// unbroken keeps a text in one block for Markdown, which ends one of HTML at an empty line.
func unbroken(s string) string {
	return strings.ReplaceAll(template.HTMLEscapeString(strings.TrimSpace(strings.ReplaceAll(s, "\r", ""))), "\n", "&#10;")
}
