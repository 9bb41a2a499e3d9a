package build

import (
	"bytes"
	"fmt"
	"go/doc"
	"go/doc/comment"
	"html/template"
	"path"
	"strings"

	"example.org/bobweight/docs/internal/page"
	"example.org/bobweight/docs/internal/study"
)

// studyPages show each study with what it found, its plots and its code.
func (b *builder) studyPages() error {
	for _, s := range b.studies {
		found := s.Finding()
		p := &page.Page{Path: "studies/" + s.Name + ".html", Title: found.Title, Lead: found.Sentence}
		var body strings.Builder
		for _, plot := range s.Plots {
			b.plotFiles(s, plot)
			body.WriteString(figure("../studies/"+s.Name+"/", s, plot))
		}
		run := page.Code("go run ./examples/" + s.Name + "\n")
		if len(s.Plots) > 0 {
			run = page.Code("go run ./examples/" + s.Name + " -out results\n")
		}
		fmt.Fprintf(&body, "<p>This is the study <code>%s</code>. Run it:</p>%s", s.Name, run)
		body.WriteString("<h2 id=\"about\">What it shows</h2>\n" + string(b.comment(s.Doc)))
		if s.Print != "" {
			fmt.Fprintf(&body, "<h2 id=\"prints\">What it prints</h2>\n%s", page.Code(s.Print))
		}
		body.WriteString("<h2 id=\"code\">The code that made it</h2>\n")
		for i, f := range s.Code {
			open := ""
			if i == 0 && len(f.Text) < 6000 || len(s.Code) == 1 {
				open = ` open=""`
			}
			file := "examples/" + s.Name + "/" + f.Name
			fmt.Fprintf(&body, "<details%s><summary><code>%s</code></summary>\n<p><a href=\"%s\" aria-label=\"Source of %[2]s\">source</a></p>\n%[4]s</details>\n", open, file, b.located("../", file, 0), page.Code(f.Text))
		}
		p.Body = template.HTML(body.String())
		b.pages = append(b.pages, p)
	}
	return nil
}

// plotFiles puts the files of a plot into the site.
func (b *builder) plotFiles(s *study.Study, plot study.Plot) {
	for end, data := range map[string][]byte{".svg": plot.SVG, ".png": plot.PNG, ".csv": plot.CSV, ".small.svg": plot.Small} {
		if data != nil {
			b.site[path.Join("studies", s.Name, plot.Name+end)] = data
		}
	}
}

// figure shows a plot with its files to save; folder leads to them.
func figure(folder string, s *study.Study, plot study.Plot) string {
	var files strings.Builder
	for _, f := range []struct {
		end  string
		data []byte
	}{{"svg", plot.SVG}, {"png", plot.PNG}, {"csv", plot.CSV}} {
		if f.data != nil {
			fmt.Fprintf(&files, " <a href=\"%s%s.%s\" download=\"%[2]s.%[3]s\" aria-label=\"Save the plot %[2]s as %[3]s\">%s</a>", folder, plot.Name, f.end, strings.ToUpper(f.end))
		}
	}
	return fmt.Sprintf("<div class=\"plot\" tabindex=\"0\" role=\"group\" aria-label=\"Plot\"><img src=\"%s%s.svg\" alt=\"Plot %[2]s of the study %s: %s\"/></div>\n<p class=\"save\">Save:%s</p>\n",
		folder, plot.Name, s.Name, template.HTMLEscapeString(strings.ReplaceAll(s.Title(), `"`, "")), files.String())
}

// plot shows the first plot of a study with a link to its page.
func (b *builder) plot(root, name string) (string, error) {
	for _, s := range b.studies {
		if s.Name == name && len(s.Plots) > 0 {
			return figure(root+"studies/"+s.Name+"/", s, s.Plots[0]) +
				fmt.Sprintf("<p class=\"credit\">From the study <a href=\"%sstudies/%s.html\">%s</a>.</p>\n", root, s.Name, template.HTMLEscapeString(s.Finding().Title)), nil
		}
	}
	return "", fmt.Errorf("no study %s draws", name)
}

// drawing shows one picture of a study without its files.
func (b *builder) drawing(root, name, picture string) (string, error) {
	for _, s := range b.studies {
		for _, p := range s.Plots {
			if s.Name == name && p.Name == picture {
				return fmt.Sprintf("<div class=\"plot\" tabindex=\"0\" role=\"group\" aria-label=\"Drawing\"><img src=\"%sstudies/%s/%s.svg\" alt=\"The %[3]s of the demo job, to scale\"/></div>\n", root, name, picture), nil
			}
		}
	}
	return "", fmt.Errorf("the study %s draws no %s", name, picture)
}

// studyList lists the studies by what they found, those that draw with a small picture.
func (b *builder) studyList() string {
	var drawn, told strings.Builder
	for _, s := range b.studies {
		f := s.Finding()
		picture := ""
		for _, p := range s.Plots {
			if p.Small != nil && (f.Picture == "" || f.Picture == p.Name) {
				picture = fmt.Sprintf("<img src=\"%s/%s.small.svg\" alt=\"\"/>", s.Name, p.Name)
				break
			}
		}
		to := &drawn
		if picture == "" {
			to = &told
		}
		fmt.Fprintf(to, "<li><a href=\"%s.html\">%s<strong>%s</strong></a> <span>%s</span></li>\n", s.Name, picture, template.HTMLEscapeString(f.Title), template.HTMLEscapeString(f.Sentence))
	}
	return "<ul class=\"studies\">\n" + drawn.String() + "</ul>\n\n## Without a plot\n\n<ul class=\"studies\">\n" + told.String() + "</ul>\n"
}

// comment renders the comment of a program.
func (b *builder) comment(s string) template.HTML {
	d := new(doc.Package).Parser().Parse(s)
	pr := &comment.Printer{HeadingLevel: 3, DocLinkURL: func(*comment.DocLink) string { return "" }}
	return template.HTML(bytes.ReplaceAll(pr.HTML(d), []byte("<pre>"), []byte(`<pre tabindex="0">`)))
}
