package page

import (
	"errors"
	"strings"
	"testing"
)

func TestMarkdown(t *testing.T) {
	got, err := Markdown("## A head\n\nText $x_1$ and `a`.\n\n$$\ny = 2\n$$\n\n```\ncost $5\n```\n\n| a | b |\n|---|---|\n| 1 | 2 |\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<h2 id="a-head">A head</h2>`, `Text <math alttext="x_1">`, `<div class="equation"`, `<math display="block"`,
		`<pre tabindex="0"><code>cost $5`, `role="group" aria-label="Table"><table>`,
	} {
		if !strings.Contains(string(got), want) {
			t.Errorf("%q is missing from %s", want, got)
		}
	}
}

func TestRefused(t *testing.T) {
	for _, source := range []string{"$x", `$\what$`, "text $$x$$ text"} {
		if got, err := Markdown(source); !errors.Is(err, ErrPage) {
			t.Errorf("%q gives %s, %v; want a refusal", source, got, err)
		}
	}
	for _, source := range []string{"title: x", "nothing\n\ntext", "lead: x\n\ntext"} {
		if _, _, err := Split("a.md", source); !errors.Is(err, ErrPage) {
			t.Errorf("%q is taken, %v; want a refusal", source, err)
		}
	}
}

func TestRender(t *testing.T) {
	sections := []Section{
		{Link: Link{"job/index.html", "The job"}, Pages: []Link{{"job/index.html", "Overview"}, {"job/read.html", "Read"}, {"job/set.html", "Set"}}},
		{Link: Link{"embed.html", "Embed"}},
	}
	p := Page{Path: "job/read.html", Title: "Read", Body: `<h2 id="a">A</h2><h2 id="b">B&rsquo;s <code>c</code></h2>`}
	out, err := p.Render(Frame{Sections: sections, Version: "built by hand"})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<a href="../job/index.html" aria-current="true">The job</a>`, `<a href="../embed.html">Embed</a>`,
		`<a href="../job/read.html" aria-current="page">Read</a>`, `<a href="#b">B’s c</a>`, `<p class="version">built by hand</p>`,
		`<h2 id="a">A <a class="permalink" href="#a" aria-label="Link to this heading">#</a></h2>`,
		`<a href="../job/index.html">← Overview</a>`, `<a class="next" href="../job/set.html">Set →</a>`,
	} {
		if !strings.Contains(string(out), want) {
			t.Errorf("%q is missing from %s", want, out)
		}
	}
}
