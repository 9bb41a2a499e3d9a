package build

import (
	"fmt"
	"html/template"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"example.org/bobweight/docs/internal/page"
)

// sourcePath is the page of a source file.
func sourcePath(file string) string { return "source/" + file + ".html" }

// located is the link to a line of a file of the checkout, from a page whose way to the
// site's root is given: a page of the site, or a page of the owner's repository where
// one is set.
func (b *builder) located(root, file string, line int) string {
	if b.Source != "" {
		return strings.NewReplacer("{file}", file, "{line}", fmt.Sprint(line)).Replace(b.Source)
	}
	b.wanted[file] = true
	link := root + sourcePath(file)
	if line > 0 {
		link += fmt.Sprintf("#L%d", line)
	}
	return link
}

// sourcePages make a page of each file that something links to, with an anchor at every
// line.
func (b *builder) sourcePages() error {
	var files []string
	for f := range b.wanted {
		files = append(files, f)
	}
	sort.Strings(files)
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(b.Root, filepath.FromSlash(f)))
		if err != nil {
			return err
		}
		var out strings.Builder
		out.WriteString("<pre class=\"source-file\" tabindex=\"0\"><code>")
		for i, line := range strings.Split(strings.TrimSuffix(string(data), "\n"), "\n") {
			fmt.Fprintf(&out, "<span id=\"L%d\">%s</span>\n", i+1, template.HTMLEscapeString(line))
		}
		out.WriteString("</code></pre>\n")
		b.pages = append(b.pages, &page.Page{Path: sourcePath(f), Title: f, Wide: true, Body: template.HTML(out.String())})
	}
	return nil
}
