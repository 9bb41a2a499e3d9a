package mathml_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"example.org/bobweight/docs/internal/mathml"
	"example.org/bobweight/springs/fuzzing"
)

// Whatever stands in an equation: it is refused as one, or well-formed MathML comes.
func FuzzConvert(tf *testing.F) {
	f := fuzzing.New(tf)
	for _, tex := range []string{`\omega^2 = \frac{2 \sum T L'}{m \ddot{R}}`, `\left( a_1^2 \right]`, `\sqrt{\bar x} \text{ <b>&} \quad 1.5`, `{{{`, `\frac`, `_^`, `\left\{`, "\x00\u202e", "a\x00b", "\\text{\f}", "\\text{\xd6}", strings.Repeat("{", 3000), strings.Repeat(`\frac{1}{`, 500)} {
		f.Add(tex, true)
	}
	f.Fuzz(func(t *testing.T, tex string, block bool) {
		out, err := mathml.Convert(tex, block)
		if err != nil {
			if !errors.Is(err, mathml.ErrSyntax) {
				t.Error(err)
			}
			return
		}
		d := xml.NewDecoder(strings.NewReader(out))
		for {
			if _, err := d.Token(); err == io.EOF {
				return
			} else if err != nil {
				t.Fatalf("%q gives %q: %v", tex, out, err)
			}
		}
	})
}
