// Package licence gathers the licences of what programs carry of other people's work:
// the modules that are linked into them, and the Go runtime.
package licence

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// ErrLicence is wrapped by every error of this package.
var ErrLicence = errors.New("licences cannot be gathered")

// Work is something that is passed on, with the texts of its licence.
type Work struct {
	Name, Version string
	Texts         []Text
}

// Text is a file of a licence.
type Text struct{ Name, Body string }

// Of gathers the works of others in programs built for a system, such as js/wasm, from
// a module's folder. Own names the module that needs no licence of its own here. A work
// without a licence is an error.
func Of(ctx context.Context, folder, system, own string, programs ...string) ([]Work, error) {
	list := exec.CommandContext(ctx, "go", append([]string{"list", "-deps", "-json=Module"}, programs...)...)
	list.Dir = folder
	goos, goarch, _ := strings.Cut(system, "/")
	list.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch)
	out, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("%w: go list: %w", ErrLicence, err)
	}
	type module struct {
		Path, Version, Dir string
		Replace            *module
	}
	dirs := map[string]string{}
	var works []Work
	for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
		var p struct{ Module *module }
		if err := d.Decode(&p); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrLicence, err)
		}
		m := p.Module
		if m == nil || m.Path == own || strings.HasPrefix(m.Path, own+"/") || dirs[m.Path] != "" {
			continue
		}
		dirs[m.Path] = m.Dir
		works = append(works, Work{Name: m.Path, Version: m.Version})
	}
	slices.SortFunc(works, func(a, b Work) int { return strings.Compare(a.Name, b.Name) })
	for i := range works {
		if works[i].Texts, err = texts(dirs[works[i].Name]); err != nil {
			return nil, err
		}
	}
	root, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrLicence, err)
	}
	language := Work{Name: "Go runtime and standard library, wasm_exec.js", Version: runtime.Version()}
	if language.Texts, err = texts(strings.TrimSpace(string(root))); err != nil {
		return nil, err
	}
	return append([]Work{language}, works...), nil
}

// texts reads the files of a folder that are a licence by their name.
func texts(folder string) ([]Text, error) {
	names, err := os.ReadDir(folder)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrLicence, err)
	}
	var list []Text
	for _, n := range names {
		name := strings.ToUpper(n.Name())
		if n.IsDir() || !slices.ContainsFunc([]string{"LICENSE", "LICENCE", "COPYING", "NOTICE", "PATENTS"}, func(begin string) bool { return strings.HasPrefix(name, begin) }) {
			continue
		}
		body, err := os.ReadFile(filepath.Join(folder, n.Name()))
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrLicence, err)
		}
		list = append(list, Text{n.Name(), string(body)})
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%w: %s holds none", ErrLicence, folder)
	}
	return list, nil
}
