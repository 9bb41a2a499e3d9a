// Package page makes the pages of the site: Markdown with equations, set into
// one layout with navigation.
package page

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"strings"

	"example.org/bobweight/docs/internal/mathml"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer/html"
)

// ErrPage is wrapped by every error of this package.
var ErrPage = errors.New("page cannot be made")

var markdown = goldmark.New(
	goldmark.WithExtensions(extension.Table, extension.DefinitionList, extension.NewTypographer()),
	goldmark.WithParserOptions(parser.WithAutoHeadingID()),
	goldmark.WithRendererOptions(html.WithUnsafe(), html.WithXHTML()),
)

// Markdown renders text in which $...$ is an equation in a line and $$...$$ one
// of its own. Blocks of code are left alone.
func Markdown(source string) (template.HTML, error) {
	if strings.ContainsAny(source, string(markOpen)+string(markClose)) {
		return "", fmt.Errorf("%w: the runes U+E000 and U+E001 are kept for equations", ErrPage)
	}
	text, equations, err := takeEquations(source)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	if err := markdown.Convert([]byte(text), &b); err != nil {
		return "", fmt.Errorf("%w: %w", ErrPage, err)
	}
	out := b.String()
	for i, e := range equations {
		mark := placeholder(i)
		if e.block {
			out = strings.Replace(out, "<p>"+mark+"</p>", `<div class="equation" tabindex="0" role="group" aria-label="Equation">`+e.html+"</div>", 1)
			continue
		}
		out = strings.Replace(out, mark, e.html, 1)
	}
	if strings.ContainsRune(out, markOpen) {
		return "", fmt.Errorf("%w: an equation between $$ needs empty lines around it", ErrPage)
	}
	return template.HTML(frame(out)), nil
}

// Private-use runes that no page contains mark the place of an equation.
const (
	markOpen  = '\ue000'
	markClose = '\ue001'
)

func placeholder(i int) string { return fmt.Sprintf("%c%d%c", markOpen, i, markClose) }

type equation struct {
	html  string
	block bool
}

// takeEquations replaces equations by marks that Markdown leaves alone.
func takeEquations(source string) (string, []equation, error) {
	var out strings.Builder
	var list []equation
	add := func(tex string, block bool) error {
		m, err := mathml.Convert(tex, block)
		if err != nil {
			return fmt.Errorf("%w: %w", ErrPage, err)
		}
		out.WriteString(placeholder(len(list)))
		list = append(list, equation{m, block})
		return nil
	}
	for i, part := range strings.Split(source, "```") {
		if i > 0 {
			out.WriteString("```")
		}
		if i%2 == 1 { // inside a block of code
			out.WriteString(part)
			continue
		}
		for part != "" {
			before, rest, found := strings.Cut(part, "$")
			out.WriteString(before)
			if !found {
				break
			}
			end, block := "$", strings.HasPrefix(rest, "$")
			if block {
				end, rest = "$$", rest[1:]
			}
			tex, after, closed := strings.Cut(rest, end)
			if !closed {
				return "", nil, fmt.Errorf("%w: an equation does not close: %.40s", ErrPage, rest)
			}
			if err := add(tex, block); err != nil {
				return "", nil, err
			}
			part = after
		}
	}
	return out.String(), list, nil
}

// frame lets wide code and tables scroll by themselves, also by keyboard.
func frame(html string) string {
	return strings.NewReplacer(
		"<pre>", `<pre tabindex="0">`,
		"<table>", `<div class="wide" tabindex="0" role="group" aria-label="Table"><table>`,
		"</table>", "</table></div>",
		"<th></th>", "<td></td>", // a corner heads nothing
	).Replace(html)
}

// Code sets a program or its output.
func Code(text string) template.HTML {
	return template.HTML(`<pre tabindex="0"><code>` + template.HTMLEscapeString(text) + "</code></pre>\n")
}
