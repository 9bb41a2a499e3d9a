package build

import (
	"fmt"
	"html/template"
	"regexp"
	"strings"

	"example.org/bobweight/docs/internal/page"
)

// chapter is one subject of the table of checks.
type chapter struct {
	title, path, text string
	values            int
}

// allSubjects is the last chapter of the table, which counts the others.
const allSubjects = "All subjects"

var notLetters = regexp.MustCompile(`[^a-z]+`)

// chapters parts what the run of the corpus writes: a chapter for each subject with its
// counts and the table of each source, then the counts of all.
func (b *builder) chapters() ([]chapter, error) {
	r, err := b.corpus()
	if err != nil {
		return nil, err
	}
	var out strings.Builder
	if err := r.Markdown(&out); err != nil {
		return nil, err
	}
	var list []chapter
	for _, part := range strings.Split("\n"+out.String(), "\n## ")[1:] {
		title, text, _ := strings.Cut(part, "\n")
		c := chapter{title: title, path: "checked/" + strings.Trim(notLetters.ReplaceAllString(strings.ToLower(title), "-"), "-") + ".html", text: text}
		_, tables, _ := strings.Cut(text, "\n### ")
		for _, line := range strings.Split(tables, "\n") {
			if strings.HasPrefix(line, "| ") && !strings.HasPrefix(line, "| example |") {
				c.values++
			}
		}
		list = append(list, c)
	}
	if len(list) < 2 || list[len(list)-1].title != allSubjects {
		return nil, fmt.Errorf("the table of checks has %d chapters and does not end with %q", len(list), allSubjects)
	}
	return list, nil
}

// checked lists the subjects with their number of values, and the counts of all.
func (b *builder) checked() (string, error) {
	list, err := b.chapters()
	if err != nil {
		return "", err
	}
	var out strings.Builder
	for _, c := range list {
		if c.title != allSubjects {
			fmt.Fprintf(&out, "- [%s](%s): %d values\n", c.title, c.path, c.values)
		}
	}
	return out.String() + "\n## " + allSubjects + "\n" + list[len(list)-1].text, nil
}

// checkedPages make a page of each subject, in which a reader can look for words.
func (b *builder) checkedPages() ([]page.Link, error) {
	list, err := b.chapters()
	if err != nil {
		return nil, err
	}
	var links []page.Link
	for _, c := range list {
		if c.title == allSubjects {
			continue
		}
		// The headings of the sources follow the page's own.
		body, err := page.Markdown(strings.ReplaceAll(c.text, "\n### ", "\n## "))
		if err != nil {
			return nil, err
		}
		links = append(links, page.Link{Path: c.path, Title: c.title})
		b.pages = append(b.pages, &page.Page{
			Path: c.path, Title: "Checked against: " + strings.ToLower(c.title[:1]) + c.title[1:],
			Lead: fmt.Sprintf("%d published or measured values, source by source.", c.values),
			Body: template.HTML("<div data-filter=\"\">\n") + body + "</div>\n",
		})
	}
	return links, nil
}
