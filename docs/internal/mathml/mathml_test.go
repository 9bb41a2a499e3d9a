package mathml

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
)

func TestConvert(t *testing.T) {
	for _, c := range []struct{ tex, want string }{
		{"x", "<mi>x</mi>"},
		{"x_1^2", "<msubsup><mi>x</mi><mn>1</mn><mn>2</mn></msubsup>"},
		{`\frac{a}{2.5}`, "<mfrac><mrow><mi>a</mi></mrow><mrow><mn>2.5</mn></mrow></mfrac>"},
		{`\sqrt k`, "<msqrt><mi>k</mi></msqrt>"},
		{`\sum_i T`, "<munder><mo>∑</mo><mi>i</mi></munder><mi>T</mi>"},
		{"a-b", "<mi>a</mi><mo>−</mo><mi>b</mi>"},
		{`a<\omega`, "<mi>a</mi><mo>&lt;</mo><mi>ω</mi>"},
		{`\text{if a & b}`, "<mtext>if a &amp; b</mtext>"},
		{`\left( \dot x \right)^2`, `<msup><mrow><mo stretchy="true">(</mo><mover><mi>x</mi><mo>˙</mo></mover><mo stretchy="true">)</mo></mrow><mn>2</mn></msup>`},
		{`\sin \alpha`, `<mi>sin</mi><mspace width="0.17em"/><mi>α</mi>`},
		{`\exp (x)`, `<mi>exp</mi><mo stretchy="false">(</mo><mi>x</mi><mo stretchy="false">)</mo>`},
		{`\min_x y`, `<msub><mi>min</mi><mi>x</mi></msub><mi>y</mi>`},
		{"f(x)", `<mi>f</mi><mo stretchy="false">(</mo><mi>x</mi><mo stretchy="false">)</mo>`},
	} {
		got, err := Convert(c.tex, false)
		if err != nil {
			t.Errorf("%s: %v", c.tex, err)
			continue
		}
		if !strings.Contains(got, "<mrow>"+c.want+"</mrow></math>") {
			t.Errorf("%s gives %s, want it to hold %s", c.tex, got, c.want)
		}
		d := xml.NewDecoder(strings.NewReader(got))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Errorf("%s gives %s, which is not well formed: %v", c.tex, got, err)
				break
			}
		}
	}
}

func TestRefused(t *testing.T) {
	for _, tex := range []string{`\unknown`, "{a", "x^", "x_1_2", `\text a`, `\text{a`, "a%b", `\left x`, `\left( x`, `\right)`, `\left( x \right y`, `\frac{a}`} {
		if got, err := Convert(tex, true); !errors.Is(err, ErrSyntax) {
			t.Errorf("%s gives %s, %v; want a refusal", tex, got, err)
		}
	}
}
