// Package study runs the programs under examples and keeps their plots, for the
// pages that show each study with the code that made it.
package study

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// ErrStudy is wrapped by every error of this package.
var ErrStudy = errors.New("study cannot be shown")

// Study is one program with what it makes.
type Study struct {
	Name  string
	Doc   string // the program's own comment
	Plots []Plot
	Code  []File // without tests
	Print string // what it prints; empty where a plot says it
}

// Plot is a picture with the name that the program gives it.
type Plot struct {
	Name string
	Data []byte
}

// File is a source file of the program.
type File struct{ Name, Text string }

// Title is the first line of the program's comment without the command's name.
func (s *Study) Title() string {
	text := new(doc.Package).Synopsis(s.Doc)
	text = strings.TrimPrefix(text, "Command ")
	if first, rest, ok := strings.Cut(text, " "); ok && strings.EqualFold(first, s.Name) {
		text = strings.ToUpper(rest[:1]) + rest[1:]
	}
	return strings.TrimSuffix(text, ".")
}

// Run builds every program under root/examples and runs those that take a folder
// for their plots with -out; the others are shown by their code and comment.
func Run(ctx context.Context, root string) ([]*Study, error) {
	work, err := os.MkdirTemp("", "studies")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStudy, err)
	}
	defer os.RemoveAll(work)
	build := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=false", "-o", work+string(filepath.Separator), "./examples/...")
	build.Dir = root
	if out, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %w: %s", ErrStudy, err, out)
	}
	programs, err := os.ReadDir(work)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStudy, err)
	}
	var list []*Study
	for _, p := range programs {
		name := strings.TrimSuffix(p.Name(), ".exe")
		s, err := read(filepath.Join(root, "examples", name), name)
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrStudy, name, err)
		}
		if err := s.draw(ctx, filepath.Join(work, p.Name()), filepath.Join(work, name+".out")); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrStudy, name, err)
		}
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *Study) int { return strings.Compare(a.Name, b.Name) })
	return list, nil
}

// read takes the source of a program.
func read(folder, name string) (*Study, error) {
	s := &Study{Name: name}
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	for _, n := range names {
		if strings.HasSuffix(n, "_test.go") {
			continue
		}
		text, err := os.ReadFile(n)
		if err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(token.NewFileSet(), n, text, parser.ParseComments|parser.PackageClauseOnly)
		if err != nil {
			return nil, err
		}
		if f.Doc != nil {
			s.Doc = f.Doc.Text()
		}
		s.Code = append(s.Code, File{filepath.Base(n), string(text)})
	}
	return s, nil
}

// draw runs the program, if it can draw, and collects its pictures. Vector
// pictures are taken where there is one of each kind.
func (s *Study) draw(ctx context.Context, program, folder string) error {
	help, _ := exec.CommandContext(ctx, program, "-h").CombinedOutput() // -h ends with a status of its own
	if !bytes.Contains(help, []byte("-out ")) {
		return nil
	}
	run := exec.CommandContext(ctx, program, "-out", folder)
	var problems bytes.Buffer
	run.Stderr = &problems
	out, err := run.Output()
	if err != nil {
		return fmt.Errorf("%w: %s", err, problems.Bytes())
	}
	s.Print = strings.ReplaceAll(string(out), folder, "results")
	for _, kind := range []string{"*.svg", "*.png"} {
		names, err := filepath.Glob(filepath.Join(folder, kind))
		if err != nil {
			return err
		}
		for _, n := range names {
			base := filepath.Base(n)
			stem := strings.TrimSuffix(base, filepath.Ext(base))
			if slices.ContainsFunc(s.Plots, func(p Plot) bool { return strings.TrimSuffix(p.Name, filepath.Ext(p.Name)) == stem }) {
				continue
			}
			data, err := os.ReadFile(n)
			if err != nil {
				return err
			}
			s.Plots = append(s.Plots, Plot{base, data})
		}
	}
	return nil
}
