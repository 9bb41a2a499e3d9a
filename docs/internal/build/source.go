package build

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"html/template"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	text "text/template"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/advance/sheet"
	"example.org/bobweight/docs/content"
	"example.org/bobweight/docs/internal/apiref"
	"example.org/bobweight/docs/internal/page"
	"example.org/bobweight/examples/checks/corpus"
	"example.org/bobweight/examples/recurve/plots"
	"example.org/bobweight/testdata"
)

// source is a page as it is written.
type source struct {
	name, path, text string
	front            page.Front
	order            int
}

// short is the title as the navigation shows it.
func (s *source) short() string { return cmp.Or(s.front["short"], s.front["title"]) }

// sources reads the written pages, in the order of each chapter, and notes which
// theory page speaks of which package.
func (b *builder) sources() ([]*source, error) {
	var list []*source
	err := fs.WalkDir(content.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := content.Files.ReadFile(name)
		if err != nil {
			return err
		}
		s := &source{name: name, path: page.PathOf(name)}
		if s.front, s.text, err = page.Split(name, string(data)); err != nil {
			return err
		}
		if n := s.front["order"]; n != "" {
			if s.order, err = strconv.Atoi(n); err != nil {
				return fmt.Errorf("%s: order: %w", name, err)
			}
		}
		for _, dir := range strings.Fields(s.front["packages"]) {
			if !slices.ContainsFunc(b.packages, func(p *apiref.Package) bool { return p.Dir == dir }) {
				return fmt.Errorf("%s: there is no package %s", name, dir)
			}
			b.theory[dir] = page.Link{Path: s.path, Title: s.short()}
		}
		list = append(list, s)
		return nil
	})
	slices.SortStableFunc(list, func(a, b *source) int { return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(a.path, b.path)) })
	return list, err
}

// write makes the page of a source.
func (b *builder) write(s *source) error {
	root := strings.Repeat("../", strings.Count(s.path, "/"))
	t, err := text.New(s.name).Funcs(text.FuncMap{
		"code":        b.code,
		"prints":      b.prints,
		"demo":        b.demoPart,
		"story":       b.storyPart,
		"storyplot":   func(name, alt string) (template.HTML, error) { return b.storyPlot(root, name, alt) },
		"checked":     b.checked,
		"counts":      b.counts,
		"cautions":    func() string { return "- " + strings.Join(sheet.Cautions(), "\n- ") + "\n" },
		"plot":        func(name string) (string, error) { return b.plot(root, name) },
		"packages":    func() string { return b.packageList(root) },
		"studies":     b.studyList,
		"about":       b.about,
		"glossary":    b.glossaryList,
		"licences":    b.licences,
		"won":         b.wonText,
		"picture":     b.wonPicture,
		"distributor": func() (string, error) { return b.drawing(root, "recurve", "distributor") },
	}).Parse(s.text)
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := t.Execute(&out, nil); err != nil {
		return err
	}
	body, err := page.Markdown(out.String())
	if err != nil {
		return fmt.Errorf("%s: %w", s.name, err)
	}
	if s.path != "glossary.html" {
		body = b.explain(root, body)
	}
	b.pages = append(b.pages, &page.Page{
		Path: s.path, Title: s.front["title"], Lead: s.front["lead"], Body: body,
		Scripts: strings.Fields(s.front["scripts"]), Wide: s.front["wide"] == "yes",
	})
	return nil
}

// code shows a file of the library.
func (b *builder) code(name string) (template.HTML, error) {
	data, err := os.ReadFile(filepath.Join(b.Root, filepath.FromSlash(name)))
	return page.Code(string(data)), err
}

// prints shows what a program of the library prints.
func (b *builder) prints(dir string) (template.HTML, error) {
	run := exec.Command("go", "run", "./"+dir)
	run.Dir = b.Root
	var problems bytes.Buffer
	run.Stderr = &problems
	out, err := run.Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w: %s", dir, err, problems.Bytes())
	}
	return page.Code(string(out)), nil
}

// chapterHead is a line of the report with a rule under it, or the rule above the sheet.
var chapterHead = regexp.MustCompile(`(?m)^(.+\n-{3,}|={10,})$`)

// demoPart is one chapter of the demo job's report.
func (b *builder) demoPart(from string, to ...string) (template.HTML, error) {
	return part(b.report, from, to...)
}

// storyPart is one chapter of the report on another job that is built into the command.
func (b *builder) storyPart(name, from string, to ...string) (template.HTML, error) {
	r, err := b.storyReport(name)
	if err != nil {
		return "", err
	}
	return part(r, from, to...)
}

// storyPlot is the plot of such a job.
func (b *builder) storyPlot(root, name, alt string) (template.HTML, error) {
	r, err := b.storyReport(name)
	if err != nil {
		return "", err
	}
	file := "figures/" + name + ".svg"
	if b.site[file], err = plots.Draw(r, "svg"); err != nil {
		return "", fmt.Errorf("%s: %w", name, err)
	}
	return picture(root+file, alt), nil
}

// storyReport works such a job, once.
func (b *builder) storyReport(name string) (*job.Report, error) {
	if b.story[name] == nil {
		data, err := os.ReadFile(filepath.Join(b.Root, "examples", "recurve", name+".json"))
		if err != nil {
			return nil, err
		}
		j, err := job.Read(data, nil)
		if err != nil {
			return nil, err
		}
		if b.story[name], err = j.Run(context.Background(), nil); err != nil {
			return nil, err
		}
	}
	return b.story[name], nil
}

// part is one chapter of a report: from its head to the next one, or to the line that
// begins with the words given. The heads of the sheet's chapters have numbers, which
// depend on the job.
func part(r *job.Report, from string, to ...string) (template.HTML, error) {
	var all strings.Builder
	if err := r.Text(&all); err != nil {
		return "", err
	}
	text := all.String()
	find := func(head string) int {
		at := regexp.MustCompile(`(?m)^(\d+\. )?` + regexp.QuoteMeta(head)).FindStringIndex(text)
		if at == nil {
			return -1
		}
		return at[0]
	}
	start := find(from)
	if start < 0 {
		return "", fmt.Errorf("the report has no chapter %q", from)
	}
	text = text[start:]
	if len(to) == 0 {
		lines := strings.SplitAfterN(text, "\n", 3) // the head and the rule under it are its own
		body := lines[len(lines)-1]
		if next := chapterHead.FindStringIndex(body); next != nil {
			text = text[:len(text)-len(body)+next[0]]
		}
		return page.Code(strings.TrimRight(text, "\n") + "\n"), nil
	}
	end := find(to[0])
	if end < 0 {
		return "", fmt.Errorf("the report has no chapter %q after %q", to[0], from)
	}
	return page.Code(strings.TrimRight(text[:end], "=\n") + "\n"), nil
}

// counts sums the corpus up in a sentence.
func (b *builder) counts() (string, error) {
	r, err := b.corpus()
	if err != nil {
		return "", err
	}
	values, agree, known := 0, 0, map[corpus.Provenance]int{}
	for _, row := range r.Rows {
		if row.Kind != corpus.Published {
			continue
		}
		values++
		known[row.Provenance]++
		if !row.Outcome.Bad() {
			agree++
		}
	}
	return fmt.Sprintf("%d published values are computed again, %d of them read in the source and %d from memory; %d agree within the rounding of the source, or differ as a stated erratum of the source says.",
		values, known[corpus.Read], known[corpus.FromMemory], agree), nil
}

func (b *builder) corpus() (corpus.Report, error) {
	files, err := corpus.Load(testdata.Corpus, "corpus")
	if err != nil {
		return corpus.Report{}, err
	}
	return corpus.Run(files, corpus.Settings{}), nil
}

// packageList lists every package with what it holds and where its theory stands.
func (b *builder) packageList(root string) string {
	var out strings.Builder
	out.WriteString("<dl class=\"fields\">\n")
	for _, p := range b.packages {
		theory := ""
		if l, ok := b.theory[p.Dir]; ok {
			theory = fmt.Sprintf(" <span>theory: <a href=\"%s%s\">%s</a></span>", root, l.Path, template.HTMLEscapeString(l.Title))
		}
		holds := strings.TrimPrefix(p.Synopsis, "Package "+path.Base(p.Dir)+" ")
		fmt.Fprintf(&out, "<div><dt><a href=\"%s%s\">%s</a>%s</dt><dd>%s</dd></div>\n", root, p.Page(), p.Dir, theory, template.HTMLEscapeString(strings.ToUpper(holds[:1])+holds[1:]))
	}
	out.WriteString("</dl>\n")
	return out.String()
}

// about is a package's own account of itself, for a chapter on theory.
func (b *builder) about(dir string) (template.HTML, error) {
	for _, p := range b.packages {
		if p.Dir == dir {
			return template.HTML(fmt.Sprintf("<p class=\"credit\">%s Its <a href=\"../%s\">reference</a> has every function.</p>\n", template.HTMLEscapeString(p.Synopsis), p.Page())), nil
		}
	}
	return "", fmt.Errorf("there is no package %s", dir)
}
