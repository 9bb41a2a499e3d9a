package page_test

import (
	"strings"
	"testing"

	"example.org/bobweight/docs/internal/page"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever the text of a page: it is refused with a sentence, or HTML comes in which no
// mark of an equation is left.
func FuzzMarkdown(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, text := range []string{"# Head\n\ntext with $x^2$ and\n\n$$\\frac{a}{b}$$\n\nend", "```\n$no equation$\n```", "$", "$$x$$ in a line", "| a | b |\n|---|---|\n| `c` | $d$ |", "---\ntitle: T\n---\nbody", "\ue0000\ue001", "a \ue001", "[a](javascript:x) <script>", "$\n\n$"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if front, body, err := page.Split("fuzz.md", text); err == nil {
			if len(body) > len(text) {
				t.Errorf("%v before %q", front, body)
			}
			text = body
		}
		out, err := page.Markdown(text)
		if err != nil {
			if err.Error() == "" {
				t.Error("refused without a word")
			}
			return
		}
		if strings.ContainsAny(string(out), "\ue000\ue001") {
			t.Errorf("%q: a mark is left in %q", text, out)
		}
		if !strings.HasSuffix(page.PathOf(text), ".html") || page.Code(text) == "" && strings.TrimSpace(text) != "" {
			t.Errorf("%q as code is %q, its path %q", text, page.Code(text), page.PathOf(text))
		}
	})
}
