// Package build makes the whole site in memory: text, theory, studies with their
// plots, reference, the table of checks, and the library compiled for the pages
// that compute.
package build

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/assets"
	"example.org/bobweight/docs/internal/apiref"
	"example.org/bobweight/docs/internal/jobref"
	"example.org/bobweight/docs/internal/page"
	"example.org/bobweight/docs/internal/study"
	"example.org/bobweight/examples/recurve/save"
)

// ErrBuild is wrapped by every error of this package.
var ErrBuild = errors.New("site cannot be built")

// Options say what to build.
type Options struct {
	Root string // folder of the library
	// NoEngine leaves the compiled library out; its pages then say so. Text,
	// plots and reference need no compiler for the browser.
	NoEngine bool
	Progress func(what string) // may be nil
}

// Site is the finished site: contents by path from its root.
type Site map[string][]byte

// builder carries what pages are made of.
type builder struct {
	Options
	site     Site
	pages    []*page.Page
	sections []page.Section
	packages []*apiref.Package
	studies  []*study.Study
	ref      *jobref.Reference
	example  []byte // the demo job
	report   *job.Report
	story    map[string]*job.Report // on the other jobs that are built into the command
	theory   map[string]page.Link   // by folder of the package
}

// Build makes the site. Same source, same bytes.
func Build(ctx context.Context, o Options) (Site, error) {
	if o.Progress == nil {
		o.Progress = func(string) {}
	}
	b := &builder{Options: o, site: Site{}, theory: map[string]page.Link{}, story: map[string]*job.Report{}}
	for _, step := range []struct {
		what string
		do   func(context.Context) error
	}{
		{"reading the source", b.source},
		{"working the demo job", b.demo},
		{"running the studies", b.study},
		{"compiling the library for the browser", b.engine},
		{"setting the pages", b.compose},
	} {
		o.Progress(step.what)
		if err := step.do(ctx); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrBuild, step.what, err)
		}
	}
	return b.site, nil
}

func (b *builder) source(context.Context) (err error) {
	if b.packages, err = apiref.Load(b.Root); err != nil {
		return err
	}
	b.example, err = os.ReadFile(filepath.Join(b.Root, "examples", "recurve", "demo.json"))
	if err != nil {
		return err
	}
	b.ref, err = jobref.New(b.Root, b.example)
	return err
}

func (b *builder) demo(ctx context.Context) error {
	j, err := job.Read(b.example, nil)
	if err != nil {
		return err
	}
	b.report, err = j.Run(ctx, nil)
	return err
}

func (b *builder) study(ctx context.Context) (err error) {
	b.studies, err = study.Run(ctx, b.Root)
	return err
}

// compose makes every page and gathers the files beside them.
func (b *builder) compose(context.Context) error {
	err := fs.WalkDir(assets.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || name == workerScript {
			return err
		}
		b.site["assets/"+name], err = assets.Files.ReadFile(name)
		return err
	})
	if err != nil {
		return err
	}
	b.site["reference/demo.json"] = b.example
	if b.site["reference/job.schema.json"], err = b.ref.Schema(); err != nil {
		return err
	}
	sources, err := b.sources()
	if err != nil {
		return err
	}
	if err := b.mechanismFigures(); err != nil {
		return err
	}
	if err := b.referencePages(); err != nil {
		return err
	}
	if err := b.studyPages(); err != nil {
		return err
	}
	for _, s := range sources {
		if err := b.write(s); err != nil {
			return err
		}
	}
	b.navigate(sources)
	for _, p := range b.pages {
		if b.site[p.Path], err = p.Render(b.sections); err != nil {
			return err
		}
	}
	return nil
}

// referencePages make the API reference and that of the job file.
func (b *builder) referencePages() error {
	for _, p := range b.packages {
		b.pages = append(b.pages, &page.Page{Path: p.Page(), Title: "Package " + p.Dir, Lead: p.Synopsis, Body: p.Body})
	}
	body, err := b.ref.HTML()
	if err != nil {
		return err
	}
	intro, err := page.Markdown("A job is one JSON file. `go run ./examples/recurve -show-demo` prints a whole one to start from " +
		"([the same](demo.json)); the [JSON schema](job.schema.json) lets an editor check and complete yours. " +
		"Whatever the program does not understand it refuses with line and field: an unknown or doubled field, a missing one, a bare number, a value out of range.\n")
	b.pages = append(b.pages, &page.Page{
		Path: "reference/job-file.html", Title: "The job file",
		Lead: "Every field, generated from the types that read it.", Body: intro + picture("../figures/distributor.svg", "The distributor of the demo job, at rest and all in, with every distance that the job file asks for, named by its field") +
			"<p>The <a href=\"../figures/form.svg\">same drawing with lines to fill in</a> is a form to measure with.</p>\n" + body,
	})
	return err
}

// studyPages show each study with its plots and its code.
func (b *builder) studyPages() error {
	for _, s := range b.studies {
		p := &page.Page{Path: "studies/" + s.Name + ".html", Title: strings.ToUpper(s.Name[:1]) + s.Name[1:], Lead: s.Title() + "."}
		var body strings.Builder
		for _, plot := range s.Plots {
			name := path.Join("studies", s.Name, plot.Name)
			b.site[name] = plot.Data
			body.WriteString(figure("../"+name, s, plot))
		}
		if len(s.Plots) > 0 {
			fmt.Fprintf(&body, "<p>Make it yourself:</p>%s", page.Code("go run ./examples/"+s.Name+" -out results\n"))
		} else {
			fmt.Fprintf(&body, "<p>Run it:</p>%s", page.Code("go run ./examples/"+s.Name+"\n"))
		}
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
			fmt.Fprintf(&body, "<details%s><summary><code>examples/%s/%s</code></summary>\n%s</details>\n", open, s.Name, f.Name, page.Code(f.Text))
		}
		p.Body = template.HTML(body.String())
		b.pages = append(b.pages, p)
	}
	return nil
}

func figure(src string, s *study.Study, plot study.Plot) string {
	stem := strings.TrimSuffix(plot.Name, path.Ext(plot.Name))
	return fmt.Sprintf("<div class=\"plot\" tabindex=\"0\" role=\"group\" aria-label=\"Plot\"><img src=\"%s\" alt=\"Plot %s of the study %s: %s\"/></div>\n",
		src, stem, s.Name, template.HTMLEscapeString(strings.ReplaceAll(s.Title(), `"`, "")))
}

// navigate lays out the chapters.
func (b *builder) navigate(sources []*source) {
	add := func(title string, links ...page.Link) {
		if len(links) > 0 {
			b.sections = append(b.sections, page.Section{Link: page.Link{Path: links[0].Path, Title: title}, Pages: links})
		}
	}
	of := func(folder string) (links []page.Link) {
		for _, s := range sources {
			if path.Dir(s.path) == folder {
				links = append(links, page.Link{Path: s.path, Title: s.short()})
			}
		}
		return links
	}
	single := func(name string) page.Link {
		i := slices.IndexFunc(sources, func(s *source) bool { return s.path == name })
		return page.Link{Path: name, Title: sources[i].short()}
	}
	studies := []page.Link{{Path: "studies/index.html", Title: "All studies"}}
	for _, s := range b.studies {
		studies = append(studies, page.Link{Path: "studies/" + s.Name + ".html", Title: s.Name})
	}
	reference := []page.Link{{Path: "reference/index.html", Title: "Overview"}, {Path: "reference/job-file.html", Title: "The job file"}}
	for _, p := range b.packages {
		reference = append(reference, page.Link{Path: p.Page(), Title: p.Dir})
	}
	add("The job", of("job")...)
	add("Try it live", of("live")...)
	add("Use it in a program", single("embed.html"))
	add("Theory", of("theory")...)
	add("Studies", studies...)
	add("Reference", reference...)
	add("Checked against", single("checked.html"))
	add("Limits", single("limits.html"))
	add("Cautions", single("cautions.html"))
}

// mark is the file that lists what a site consists of.
const mark = "made-by-docs.json"

// Folder claims a folder for the site before it is built. It may hold an earlier
// site, which is replaced as a whole, and nothing else.
func Folder(path string) (*save.Folder, error) {
	own := map[string]bool{mark: true}
	if list, err := os.ReadFile(filepath.Join(path, mark)); err == nil {
		var names []string
		if err := json.Unmarshal(list, &names); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrBuild, mark, err)
		}
		for _, name := range names {
			own[name] = true
		}
	}
	f, err := save.Open(path, save.Options{Own: func(name string) bool { return own[name] && len(own) > 1 }, Replace: true})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrBuild, err)
	}
	return f, nil
}

// Write puts the site into a folder that was claimed for it.
func (s Site) Write(f *save.Folder) error {
	names := slices.Sorted(maps.Keys(s))
	list, err := json.MarshalIndent(names, "", " ")
	if err != nil {
		return fmt.Errorf("%w: %w", ErrBuild, err)
	}
	files := maps.Clone(s)
	files[mark] = list
	if err := f.Save(files); err != nil {
		return fmt.Errorf("%w: %w", ErrBuild, err)
	}
	return nil
}
