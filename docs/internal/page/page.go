package page

import (
	"bytes"
	_ "embed"
	"fmt"
	"html"
	"html/template"
	"path"
	"regexp"
	"strings"
)

//go:embed layout.html
var layoutText string

var layout = template.Must(template.New("layout").Parse(layoutText))

// Page is one page of the site before it is set into the layout.
type Page struct {
	Path    string // from the site's root, such as "job/read.html"
	Title   string
	Lead    string   // one sentence under the title, may be empty
	Scripts []string // paths from the site's root
	Body    template.HTML
	Wide    bool // no list of contents beside the text
}

// Link is an entry of the navigation.
type Link struct {
	Path, Title string
}

// Section is an entry of the main navigation with its pages.
type Section struct {
	Link
	Pages []Link
}

// within reports whether a page belongs to the section.
func (s *Section) within(p string) bool {
	if s.Path == p {
		return true
	}
	for _, l := range s.Pages {
		if l.Path == p {
			return true
		}
	}
	return false
}

// shown is an entry of the navigation as one page shows it.
type shown struct {
	Href, Title string
	Here        bool
}

var heading = regexp.MustCompile(`<h2 id="([^"]+)"[^>]*>(.*?)</h2>`)
var tag = regexp.MustCompile(`<[^>]+>`)

// Frame is what all pages of a site show around their text.
type Frame struct {
	Sections []Section
	Version  string // of the source that the site was built from
}

// Render sets the page into the layout, with links relative to where it stands.
func (p *Page) Render(frame Frame) ([]byte, error) {
	root := strings.Repeat("../", strings.Count(p.Path, "/"))
	data := struct {
		*Page
		Root             string
		Main, Beside     []shown
		Contents         []shown
		Section          string
		Previous, Next   *shown
		AbsoluteScripts  []string
		IsFront, HasSide bool
		Version          string
		Text             template.HTML
	}{Page: p, Version: frame.Version, Text: permalinks(p.Body), Root: root, IsFront: p.Path == "index.html"}
	for _, s := range frame.Sections {
		here := s.within(p.Path)
		data.Main = append(data.Main, shown{root + s.Path, s.Title, here})
		if !here {
			continue
		}
		data.Section = s.Title
		for i, l := range s.Pages {
			data.Beside = append(data.Beside, shown{root + l.Path, l.Title, l.Path == p.Path})
			if l.Path != p.Path {
				continue
			}
			if i > 0 {
				data.Previous = &shown{Href: root + s.Pages[i-1].Path, Title: s.Pages[i-1].Title}
			}
			if i+1 < len(s.Pages) {
				data.Next = &shown{Href: root + s.Pages[i+1].Path, Title: s.Pages[i+1].Title}
			}
		}
	}
	for _, h := range heading.FindAllStringSubmatch(string(p.Body), -1) {
		data.Contents = append(data.Contents, shown{Href: "#" + h[1], Title: html.UnescapeString(tag.ReplaceAllString(h[2], ""))})
	}
	for _, s := range p.Scripts {
		data.AbsoluteScripts = append(data.AbsoluteScripts, root+s)
	}
	data.HasSide = !p.Wide && (len(data.Beside) > 1 || len(data.Contents) > 1)
	var b bytes.Buffer
	if err := layout.Execute(&b, data); err != nil {
		return nil, fmt.Errorf("%w: %s: %w", ErrPage, p.Path, err)
	}
	return b.Bytes(), nil
}

var linkable = regexp.MustCompile(`(?s)<h([2-4]) id="([^"]+)"([^>]*)>(.*?)</h[2-4]>`)

// permalinks puts a link to itself after each heading, for a reader who wants to point
// at it. A heading that is such a link already stays.
func permalinks(body template.HTML) template.HTML {
	return template.HTML(linkable.ReplaceAllStringFunc(string(body), func(h string) string {
		m := linkable.FindStringSubmatch(h)
		if strings.Contains(m[4], "<a ") {
			return h
		}
		return fmt.Sprintf(`<h%s id="%s"%s>%s <a class="permalink" href="#%s" aria-label="Link to this heading">#</a></h%[1]s>`, m[1], m[2], m[3], m[4], m[2])
	}))
}

// Front is what stands at the head of a source of a page: "name: value" lines up
// to the first empty one.
type Front map[string]string

// Split parts a source into its head and its text.
func Split(name, source string) (Front, string, error) {
	head, text, found := strings.Cut(source, "\n\n")
	if !found {
		return nil, "", fmt.Errorf("%w: %s: no empty line ends its head", ErrPage, name)
	}
	front := Front{}
	for _, line := range strings.Split(head, "\n") {
		key, value, ok := strings.Cut(line, ": ")
		if !ok {
			return nil, "", fmt.Errorf("%w: %s: %q is no \"name: value\"", ErrPage, name, line)
		}
		front[key] = value
	}
	if front["title"] == "" {
		return nil, "", fmt.Errorf("%w: %s: its head has no title", ErrPage, name)
	}
	return front, text, nil
}

// PathOf is the path of the page that a source makes.
func PathOf(source string) string { return strings.TrimSuffix(source, path.Ext(source)) + ".html" }
