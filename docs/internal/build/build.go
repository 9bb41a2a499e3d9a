// Package build makes the whole site in memory: text, theory, studies with their
// plots, reference, the table of checks, and the library compiled for the pages
// that compute.
package build

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"

	"example.org/bobweight/advance/job"
	"example.org/bobweight/docs/assets"
	"example.org/bobweight/docs/internal/apiref"
	"example.org/bobweight/docs/internal/jobref"
	"example.org/bobweight/docs/internal/page"
	"example.org/bobweight/docs/internal/search"
	"example.org/bobweight/docs/internal/study"
	"example.org/bobweight/examples/recurve/plots"
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
	// Source is the address of a line of a file in the owner's repository, with {file}
	// and {line} in it. Empty: the site shows the files itself.
	Source   string
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
	wish     job.Wish               // of the demo job
	version  string                 // of the source
	terms    []term                 // of the glossary
	wanted   map[string]bool        // files of the checkout that pages link to
	story    map[string]*job.Report // on the other jobs that are built into the command
	theory   map[string]page.Link   // by folder of the package
}

// Build makes the site. Same source, same bytes.
func Build(ctx context.Context, o Options) (Site, error) {
	if o.Progress == nil {
		o.Progress = func(string) {}
	}
	b := &builder{Options: o, site: Site{}, theory: map[string]page.Link{}, wanted: map[string]bool{}, story: map[string]*job.Report{}}
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

func (b *builder) source(ctx context.Context) (err error) {
	b.version = version(ctx, b.Root)
	if err := b.glossary(); err != nil {
		return err
	}
	at := func(file string, line int) string { return b.located("../", file, line) }
	if b.packages, err = apiref.Load(b.Root, at); err != nil {
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
	b.wish = j.Wish
	b.report, err = j.Run(ctx, nil)
	return err
}

func (b *builder) study(ctx context.Context) (err error) {
	if b.studies, err = study.Run(ctx, b.Root); err != nil {
		return err
	}
	// The main program has no use for a small picture; the list of studies has.
	for _, s := range b.studies {
		if s.Name == "recurve" && len(s.Plots) > 0 {
			s.Plots[0].Small, err = plots.Draw(b.report, "small.svg")
		}
	}
	return err
}

// compose makes every page and gathers the files beside them.
func (b *builder) compose(context.Context) error {
	err := fs.WalkDir(assets.Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || name == workerScript || name == offlineScript {
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
	checked, err := b.checkedPages()
	if err != nil {
		return err
	}
	if err := b.index(); err != nil {
		return err
	}
	if err := b.sourcePages(); err != nil {
		return err
	}
	b.navigate(sources, checked)
	frame := page.Frame{Sections: b.sections, Version: b.version}
	for _, p := range b.pages {
		if b.site[p.Path], err = p.Render(frame); err != nil {
			return err
		}
	}
	return b.worker()
}

// index makes the index of all pages that hold text; source files are found by what
// links to them.
func (b *builder) index() (err error) {
	var pages []search.Page
	for _, p := range b.pages {
		pages = append(pages, search.Page{Path: p.Path, Title: p.Title, Lead: p.Lead, Body: string(p.Body)})
	}
	b.site["assets/search-index.js"], err = search.Index(pages)
	return err
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

// navigate lays out the chapters.
func (b *builder) navigate(sources []*source, checked []page.Link) {
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
		studies = append(studies, page.Link{Path: "studies/" + s.Name + ".html", Title: s.Finding().Title})
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
	add("Checked against", append([]page.Link{{Path: "checked.html", Title: "All subjects"}}, checked...)...)
	add("Glossary", single("glossary.html"))
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
