package build

import (
	"fmt"
	"html/template"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/examples/recurve/drawing"
)

// mechanismFigures draws the mechanism for the theory, with its symbols, and for the
// reference of the job file, with every distance by its field.
func (b *builder) mechanismFigures() error {
	j, err := job.Read(b.example, nil)
	if err != nil {
		return err
	}
	for name, draw := range map[string]func() ([]byte, error){
		"figures/symbols.svg":     func() ([]byte, error) { return drawing.Symbols("svg") },
		"figures/distributor.svg": func() ([]byte, error) { return drawing.Distributor(j, "svg") },
		"figures/form.svg":        func() ([]byte, error) { return drawing.Form("svg") },
	} {
		if b.site[name], err = draw(); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	return nil
}

// picture is a drawing in its frame, which scrolls on a phone.
func picture(src, alt string) template.HTML {
	return template.HTML(fmt.Sprintf("<div class=\"plot\" tabindex=\"0\" role=\"group\" aria-label=\"Drawing\"><img src=\"%s\" alt=\"%s\"/></div>\n", src, template.HTMLEscapeString(alt)))
}
