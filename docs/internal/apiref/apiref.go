// Package apiref makes the API reference from the source of the library with
// go/doc, one page per package.
package apiref

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/format"
	"go/parser"
	"go/printer"
	"go/token"
	"html/template"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// ErrSource is wrapped by every error of this package.
var ErrSource = errors.New("source cannot be read")

// Module is the path that the library's packages begin with.
const Module = "example.org/bobweight"

// Package is one package of the library.
type Package struct {
	Dir      string // from the root of the library, such as "advance/job"
	Import   string
	Synopsis string
	Imports  []string // packages of the library that it imports
	Body     template.HTML

	doc   *doc.Package
	files *token.FileSet
	at    Locate
}

// Locate gives the link to a line of a file of the library, from the pages of the
// reference.
type Locate func(file string, line int) string

// Page is the path of the package's page from the site's root.
func (p *Package) Page() string { return PageOf(p.Dir) }

// PageOf is the path of the page of a package in a folder of the library.
func PageOf(dir string) string {
	return "reference/" + strings.ReplaceAll(dir, "/", "-") + ".html"
}

// Load reads every package of the library under root that another module can
// import, programs left out, in the order of their folders. The folders docs and
// testdata and hidden ones are not part of it. Each declaration is linked to its source.
func Load(root string, at Locate) ([]*Package, error) {
	var list []*Package
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() {
			return err
		}
		dir, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		dir = filepath.ToSlash(dir)
		switch name := d.Name(); {
		case dir == ".":
			return nil
		case dir == "docs", name == "testdata", name == "internal", strings.HasPrefix(name, "."):
			return fs.SkipDir
		}
		p, err := load(path, dir)
		if p != nil {
			p.at = at
			list = append(list, p)
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrSource, err)
	}
	known := map[string]bool{}
	for _, p := range list {
		known[p.Import] = true
	}
	for _, p := range list {
		if err := p.write(known); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrSource, p.Import, err)
		}
	}
	return list, nil
}

// load reads one folder; nil if it holds no package or a program.
func load(path, dir string) (*Package, error) {
	names, err := filepath.Glob(filepath.Join(path, "*.go"))
	if err != nil || len(names) == 0 {
		return nil, err
	}
	p := &Package{Dir: dir, Import: Module + "/" + dir, files: token.NewFileSet()}
	var files []*ast.File
	for _, name := range names {
		source, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(p.files, filepath.Base(name), source, parser.ParseComments)
		if err != nil {
			return nil, err
		}
		if f.Name.Name == "main" {
			return nil, nil
		}
		files = append(files, f)
		for _, i := range f.Imports {
			of := strings.Trim(i.Path.Value, `"`)
			if strings.HasPrefix(of, Module+"/") && !strings.HasSuffix(name, "_test.go") && !slices.Contains(p.Imports, of) {
				p.Imports = append(p.Imports, of)
			}
		}
	}
	slices.Sort(p.Imports)
	p.doc, err = doc.NewFromFiles(p.files, files, p.Import)
	if err != nil {
		return nil, err
	}
	p.Synopsis = p.doc.Synopsis(p.doc.Doc)
	return p, nil
}

//go:embed package.html
var pageText string

var pageTemplate = template.Must(template.New("package").Parse(pageText))

// item is a declaration as the page shows it.
type item struct {
	ID, Title string
	Also      []string // further anchors: other names of a group, fields of a type
	Code      string
	Source    string // link to where it is declared
	Doc       template.HTML
	Examples  []example
}

type example struct {
	ID, Title, Code, Output string
	Doc                     template.HTML
}

type typed struct {
	item
	Consts, Vars, Funcs, Methods []item
}

// write makes the body of the page.
func (p *Package) write(known map[string]bool) error {
	d := p.doc
	s := sheet{p: p, known: known}
	data := struct {
		*Package
		Overview            template.HTML
		Consts, Vars, Funcs []item
		Types               []typed
		Examples            []example
		UsesOf              [][2]string
	}{Package: p, Overview: s.doc(d.Doc)}
	for _, i := range p.Imports {
		if known[i] {
			dir := strings.TrimPrefix(i, Module+"/")
			data.UsesOf = append(data.UsesOf, [2]string{strings.TrimPrefix(PageOf(dir), "reference/"), dir})
		}
	}
	data.Consts, data.Vars = s.values(d.Consts), s.values(d.Vars)
	for _, f := range d.Funcs {
		data.Funcs = append(data.Funcs, s.function(f))
	}
	for _, t := range d.Types {
		one := typed{item: item{ID: t.Name, Title: "type " + t.Name, Also: fields(t), Code: s.code(t.Decl), Source: s.source(t.Decl), Doc: s.doc(t.Doc), Examples: s.examples(t.Examples, t.Name)}}
		one.Consts, one.Vars = s.values(t.Consts), s.values(t.Vars)
		for _, f := range t.Funcs {
			one.Funcs = append(one.Funcs, s.function(f))
		}
		for _, f := range t.Methods {
			one.Methods = append(one.Methods, s.function(f))
		}
		data.Types = append(data.Types, one)
	}
	data.Examples = s.examples(d.Examples, "package")
	if s.err != nil {
		return s.err
	}
	var b bytes.Buffer
	if err := pageTemplate.Execute(&b, data); err != nil {
		return err
	}
	p.Body = template.HTML(b.String())
	return nil
}

// sheet turns the parts of a package's documentation into HTML.
type sheet struct {
	p     *Package
	known map[string]bool
	err   error
}

var preTag = regexp.MustCompile(`<pre>`)

// doc renders a comment with links to the pages of the library. What belongs to
// other modules stays without a link, for the site asks nothing of the network.
func (s *sheet) doc(text string) template.HTML {
	pr := s.p.doc.Printer()
	pr.HeadingLevel = 3
	pr.HeadingID = func(h *comment.Heading) string { return "about-" + strings.TrimPrefix(h.DefaultID(), "hdr-") }
	pr.DocLinkURL = func(l *comment.DocLink) string {
		page := ""
		if l.ImportPath != "" && l.ImportPath != s.p.Import {
			if !s.known[l.ImportPath] {
				return ""
			}
			page = strings.TrimPrefix(PageOf(strings.TrimPrefix(l.ImportPath, Module+"/")), "reference/")
		}
		anchor := l.Name
		if l.Recv != "" {
			anchor = l.Recv + "." + l.Name
		}
		if anchor == "" {
			return page
		}
		return page + "#" + anchor
	}
	html := pr.HTML(s.p.doc.Parser().Parse(text))
	return template.HTML(preTag.ReplaceAll(html, []byte(`<pre tabindex="0">`)))
}

// code prints a declaration without the bodies of functions and without its own
// comment, which stands beside it as text.
func (s *sheet) code(decl ast.Node) string {
	switch d := decl.(type) {
	case *ast.FuncDecl:
		bare := *d
		bare.Doc, bare.Body = nil, nil
		decl = &bare
	case *ast.GenDecl:
		bare := *d
		bare.Doc = nil
		decl = &bare
	}
	var b bytes.Buffer
	if err := format.Node(&b, s.p.files, decl); err != nil {
		s.err = errors.Join(s.err, err)
	}
	return b.String()
}

// source is the link to where something is declared.
func (s *sheet) source(decl ast.Node) string {
	at := s.p.files.Position(decl.Pos())
	return s.p.at(s.p.Dir+"/"+at.Filename, at.Line)
}

func (s *sheet) values(list []*doc.Value) []item {
	var out []item
	for _, v := range list {
		out = append(out, item{ID: v.Names[0], Title: strings.Join(v.Names, ", "), Also: v.Names[1:], Code: s.code(v.Decl), Source: s.source(v.Decl), Doc: s.doc(v.Doc)})
	}
	return out
}

func (s *sheet) function(f *doc.Func) item {
	id, title := f.Name, "func "+f.Name
	if f.Recv != "" {
		base := strings.TrimLeft(f.Recv, "*")
		base, _, _ = strings.Cut(base, "[")
		id = base + "." + f.Name
		title = "func (" + f.Recv + ") " + f.Name
	}
	return item{ID: id, Title: title, Code: s.code(f.Decl), Source: s.source(f.Decl), Doc: s.doc(f.Doc), Examples: s.examples(f.Examples, id)}
}

func (s *sheet) examples(list []*doc.Example, of string) []example {
	var out []example
	for _, e := range list {
		title := "Example"
		if e.Suffix != "" {
			title += " (" + e.Suffix + ")"
		}
		var b bytes.Buffer
		var node any = &printer.CommentedNode{Node: e.Code, Comments: e.Comments}
		if e.Play == nil {
			s.err = errors.Join(s.err, fmt.Errorf("apiref: %s of %s cannot be copied whole: what it calls stands in another file", title, of))
		} else if e.Output != "" {
			node = e.Play
		}
		if err := format.Node(&b, s.p.files, node); err != nil {
			s.err = errors.Join(s.err, err)
		}
		id := "example-" + of
		if e.Suffix != "" {
			id += "-" + e.Suffix
		}
		out = append(out, example{ID: id, Title: title, Code: body(b.String()), Output: e.Output, Doc: s.doc(e.Doc)})
	}
	return out
}

// body takes the braces and one step of indentation off a block.
func body(code string) string {
	if !strings.HasPrefix(code, "{") {
		return code
	}
	code = strings.TrimSuffix(strings.TrimPrefix(code, "{"), "}")
	code = strings.ReplaceAll(code, "\n\t", "\n")
	code, _, _ = strings.Cut(code, "// Output:")
	return strings.TrimSpace(code) + "\n"
}

// fields names the fields and interface methods of a type, as comments link to
// them.
func fields(t *doc.Type) []string {
	var names []string
	for _, spec := range t.Decl.Specs {
		of, ok := spec.(*ast.TypeSpec)
		if !ok {
			continue
		}
		var list *ast.FieldList
		switch x := of.Type.(type) {
		case *ast.StructType:
			list = x.Fields
		case *ast.InterfaceType:
			list = x.Methods
		default:
			continue
		}
		for _, f := range list.List {
			for _, n := range f.Names {
				names = append(names, t.Name+"."+n.Name)
			}
		}
	}
	return names
}
