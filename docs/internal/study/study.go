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
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
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

// Plot is a picture with the name that the program gives it, and what the program
// writes beside it.
type Plot struct {
	Name                 string // without ending
	SVG, PNG, CSV, Small []byte // all but the first may be missing
}

// File is a source file of the program, by its path from the program's folder.
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

// Run runs every program under root/examples that takes a folder for its plots
// with -out; the others are shown by their code and comment.
func Run(ctx context.Context, root string) ([]*Study, error) {
	folders, err := filepath.Glob(filepath.Join(root, "examples", "*", "main.go"))
	if err != nil || len(folders) == 0 {
		return nil, fmt.Errorf("%w: no programs under %s", ErrStudy, root)
	}
	work, err := os.MkdirTemp("", "studies")
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrStudy, err)
	}
	defer os.RemoveAll(work)
	var list []*Study
	for _, f := range folders {
		folder := filepath.Dir(f)
		name := filepath.Base(folder)
		s, err := read(folder, name)
		if err == nil {
			err = s.draw(ctx, root, filepath.Join(work, name))
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrStudy, name, err)
		}
		list = append(list, s)
	}
	return list, nil
}

// read takes the source of a program and of the packages under it.
func read(folder, name string) (*Study, error) {
	s := &Study{Name: name}
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return nil, err
	}
	under, err := filepath.Glob(filepath.Join(folder, "*", "*.go"))
	if err != nil {
		return nil, err
	}
	names = append(names, under...)
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
		if f.Doc != nil && f.Name.Name == "main" {
			s.Doc = f.Doc.Text()
		}
		inside, err := filepath.Rel(folder, n)
		if err != nil {
			return nil, err
		}
		s.Code = append(s.Code, File{filepath.ToSlash(inside), string(text)})
	}
	return s, nil
}

// program is the study's program as a command. The go command keeps what it has
// built, so a second run costs no compiler.
func (s *Study) program(ctx context.Context, root string, args ...string) *exec.Cmd {
	run := exec.CommandContext(ctx, "go", append([]string{"run", "-trimpath", "-buildvcs=false", "./examples/" + s.Name}, args...)...)
	run.Dir = root
	return run
}

// draw runs the program, if it can draw, and collects its pictures, with their numbers
// and their small forms where it writes them.
func (s *Study) draw(ctx context.Context, root, folder string) error {
	help, err := s.program(ctx, root, "-h").CombinedOutput()
	if !bytes.Contains(help, []byte("-out ")) {
		if err != nil && !bytes.Contains(help, []byte("Usage of ")) && !bytes.Contains(help, []byte("exit status")) {
			return fmt.Errorf("%w: %s", err, help)
		}
		return nil
	}
	args := []string{"-out", folder}
	if bytes.Contains(help, []byte("-small")) {
		args = append(args, "-small")
	}
	run := s.program(ctx, root, args...)
	var problems bytes.Buffer
	run.Stderr = &problems
	out, err := run.Output()
	if err != nil {
		return fmt.Errorf("%w: %s", err, problems.Bytes())
	}
	s.Print = strings.ReplaceAll(string(out), folder, "results")
	names, err := filepath.Glob(filepath.Join(folder, "*.svg"))
	if err != nil {
		return err
	}
	for _, n := range names {
		stem := strings.TrimSuffix(n, ".svg")
		if strings.HasSuffix(stem, ".small") {
			continue
		}
		p := Plot{Name: filepath.Base(stem)}
		for _, f := range []struct {
			to  *[]byte
			end string
		}{{&p.SVG, ".svg"}, {&p.PNG, ".png"}, {&p.CSV, ".csv"}, {&p.Small, ".small.svg"}} {
			if *f.to, err = os.ReadFile(stem + f.end); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
		if p.CSV == nil { // the main program's table is of all its curves
			if p.CSV, err = os.ReadFile(stem + "s.csv"); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
		s.Plots = append(s.Plots, p)
	}
	return nil
}
